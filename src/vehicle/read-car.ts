/** A car file and the engine table it names. */
import { Faults } from '../input/faults.ts';
import { beside, type FileAccess } from '../input/file-access.ts';
import { readKeys } from '../input/report-issues.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';
import { ASPHALT_ROLLING } from '../numbers/surface-reference.ts';
import { carShape } from './car-fields.ts';
import type { CarSpec, DrivelineSpec, EngineSpec, RoadLoadSpec, RotatingSpec } from './car-spec.ts';
import { type EngineCurve, readEngineTable } from './read-engine.ts';

const RPM = (2 * Math.PI) / 60; // [rad/s]
// Air of a coast-down where the file does not say: SAE J2263 (20 °C, 98.21 kPa), printed as 1.17 in 40 CFR 1066.310.
const ROAD_LOAD_AIR = 1.17;

/** The keys a car file may have. */
export const carKeys: readonly string[] = Object.keys(carShape);

/**
 * Reads a car and the engine table it names.
 * @param path the car file; the engine table's path is taken from its folder
 * @throws InputError with every fault of both files
 */
export function readCar(path: string, files: FileAccess): CarSpec {
  const faults = new Faults();
  const car = loadCar(path, files, faults);
  faults.throwIfFailed();
  return car!;
}

/** As `readCar`, with faults and warnings given to `faults`. @returns null where there are errors */
export function loadCar(path: string, files: FileAccess, faults: Faults): CarSpec | null {
  const yaml = readYaml(path, files, faults, null);
  return yaml === null ? null : carFrom(yaml, files, faults);
}

type Keys = ReturnType<typeof readKeys<typeof carShape>>;

/** As `loadCar`, for a file already parsed. */
export function carFrom(yaml: YamlFile, files: FileAccess, faults: Faults): CarSpec | null {
  const own = new Faults();
  const keys = readKeys(yaml, carShape, own);
  checkCombinations(yaml, own);
  const assumptions: string[] = [];
  const engine = findEngine(yaml, keys, files, own);
  const car = own.failed || engine === null ? null : assemble(yaml, keys, engine, assumptions, own);
  faults.take(own);
  return own.failed ? null : car;
}

/** Whether the file writes a key, right or wrong. */
function has(yaml: YamlFile, ...path: string[]): boolean {
  let value: unknown = yaml.data;
  for (const key of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return false;
    value = (value as Record<string, unknown>)[key];
  }
  return true;
}

/** Keys that exclude or need each other, by what is written, so that one wrong value does not hide these. */
function checkCombinations(yaml: YamlFile, faults: Faults): void {
  const at = (...path: string[]) => yaml.place(path, 'key');
  const clash = (here: string[], there: string, help: string) =>
    faults.error('car/both', at(...here), `${here.join('.')} and ${there} are both given`, help);
  const missing = (here: string[], key: string, why: string, help: string) =>
    faults.error('key/missing', at(...here), `${[...here, key].join('.')} is missing: ${why}`, help);

  if (has(yaml, 'rotating') && has(yaml, 'mass_factor')) {
    clash(['mass_factor'], 'rotating', 'give the inertias, or one factor for all gears');
  }
  if (has(yaml, 'road_load') && has(yaml, 'air', 'drag_area')) {
    clash(['air', 'drag_area'], 'road_load', 'the road load already holds the drag: leave air.drag_area out');
  }
  if (has(yaml, 'engine', 'torque') && has(yaml, 'engine', 'power')) {
    clash(['engine', 'power'], 'engine.torque', 'keep one of the two');
  } else if (has(yaml, 'engine') && !has(yaml, 'engine', 'torque') && !has(yaml, 'engine', 'power')) {
    missing(
      ['engine'],
      'torque',
      'the engine has no curve',
      'write `torque: engine.csv`, `power: engine.csv` or `power: 150 kW`',
    );
  }
  const byRatios = has(yaml, 'driveline', 'gears') || has(yaml, 'driveline', 'final_drive');
  const bySpeed = has(yaml, 'driveline', 'rpm_per_kmh');
  if (byRatios && bySpeed) {
    clash(
      ['driveline', 'rpm_per_kmh'],
      'driveline.gears or final_drive',
      'rpm_per_kmh takes the place of gears, final_drive and tyre.radius',
    );
  } else if (byRatios) {
    if (!has(yaml, 'driveline', 'gears'))
      missing(
        ['driveline'],
        'gears',
        'there is a final drive',
        'write `gears: [3.08, 2.19, 1.68]` below `driveline:`',
      );
    if (!has(yaml, 'driveline', 'final_drive'))
      missing(
        ['driveline'],
        'final_drive',
        'there are gear ratios',
        'write `final_drive: 4.30` below `driveline:`',
      );
    if (has(yaml, 'tyre') && !has(yaml, 'tyre', 'radius')) {
      missing(['tyre'], 'radius', 'gear ratios need it', 'write `radius: 0.31 m` below `tyre:`');
    }
  }
}

function findEngine(yaml: YamlFile, keys: Keys, files: FileAccess, faults: Faults): EngineSpec | null {
  const engine = readableEngine(keys);
  if (engine === null) return null;
  if ('constant' in engine) {
    for (const key of ['idle', 'launch', 'limit']) {
      if (!has(yaml, 'engine', key)) continue;
      faults.error(
        'car/constant-power',
        yaml.place(['engine', key], 'key'),
        `engine.${key} is given beside one power for every speed`,
        'leave it out, or give an engine table',
      );
    }
    for (const key of ['gears', 'final_drive', 'rpm_per_kmh', 'shift']) {
      if (!has(yaml, 'driveline', key)) continue;
      faults.error(
        'car/constant-power',
        yaml.place(['driveline', key], 'key'),
        `driveline.${key} is given beside one power for every speed`,
        'an engine with one power at every speed has no gears: leave it out, or give an engine table',
      );
    }
    return { kind: 'constant-power', power: engine.constant };
  }
  const namedAt = yaml.place(['engine', engine.kind]);
  const curve = readEngineTable(beside(yaml.source.file, engine.file), files, engine.kind, faults, namedAt);
  if (
    has(yaml, 'driveline') &&
    !['gears', 'final_drive', 'rpm_per_kmh'].some((key) => has(yaml, 'driveline', key))
  ) {
    faults.error(
      'key/missing',
      yaml.place(['driveline'], 'key'),
      'driveline.gears is missing: an engine table needs gears',
      'write `gears: [3.08, 2.19, 1.68]` and `final_drive: 4.30`, or `rpm_per_kmh: [107.5, 56.6]`',
    );
  }
  return curve === null ? null : withSpeeds(yaml, keys, curve, faults);
}

function readableEngine(
  keys: Keys,
): { kind: 'torque' | 'power'; file: string } | { constant: number } | null {
  const { torque, power } = keys.engine ?? {};
  if (torque !== undefined) return { kind: 'torque', file: torque };
  if (power === undefined) return null;
  return 'constant' in power ? power : { kind: 'power', file: power.file };
}

/** Idle, launch and limit, each checked against the table. */
function withSpeeds(yaml: YamlFile, keys: Keys, curve: EngineCurve, faults: Faults): EngineSpec {
  const first = curve.speed[0];
  const last = curve.speed.at(-1)!;
  const { idle = first, launch = Math.max(idle, first), limit = last } = keys.engine ?? {};
  const rpm = (speed: number) => `${Number((speed / RPM).toFixed(2))} rpm`;
  const near = 1e-9 * last; // the same number of rpm read from two files may differ in its last digit
  const no = (key: string, speed: number, message: string, help: string) =>
    faults.error(
      'engine/speeds',
      yaml.place(['engine', key]),
      `engine.${key} is ${rpm(speed)}, ${message}`,
      help,
    );
  if (limit > last + near) {
    no(
      'limit',
      limit,
      `but the engine table ends at ${rpm(last)}`,
      'add rows to the table up to the limit, or lower the limit',
    );
  }
  if (idle < first - near) {
    no(
      'idle',
      idle,
      `but the engine table begins at ${rpm(first)}`,
      'add a row at idle to the table, or raise idle',
    );
  }
  const order = 'the order is idle, launch, limit';
  if (idle >= limit && keys.engine?.idle !== undefined) {
    no('idle', idle, `expected less than the limit, ${rpm(limit)}`, order);
  } else if (idle >= limit) {
    no('limit', limit, `expected more than idle, ${rpm(idle)}`, order);
  } else if (launch < idle - near || launch > limit + near) {
    no(
      'launch',
      launch,
      `expected ${rpm(idle)} (idle) to ${rpm(limit)} (limit)`,
      'launch is the engine speed held while the clutch slips',
    );
  }
  const within = (speed: number) => Math.min(Math.max(speed, first), last);
  return { ...curve, idle: within(idle), launch: within(launch), limit: within(limit) };
}

function assemble(
  yaml: YamlFile,
  keys: Keys,
  engine: EngineSpec,
  assumptions: string[],
  faults: Faults,
): CarSpec | null {
  const { mass, tyre, driveline, air } = keys;
  if (keys.car === undefined || mass === undefined || tyre === undefined || driveline === undefined)
    return null;
  const radius = tyre.radius ?? null;
  const gearing = driveline.gears
    ? driveline.gears.map((gear) => (gear * driveline.final_drive!) / radius!)
    : (driveline.rpm_per_kmh ?? []).map((perKmh) => perKmh * RPM * 3.6);
  const line = findDriveline(yaml, driveline, gearing, assumptions, faults);
  const rotating = findRotating(yaml, keys, gearing.length, radius, faults);
  if (rotating === null && keys.mass_factor === undefined) {
    assumptions.push(
      'Neither mass_factor nor rotating is given: the inertia of what rotates is left out (mass factor 1).',
    );
  }
  const roadLoad = findRoadLoad(keys, assumptions);
  if (roadLoad === null && air?.drag_area === undefined) {
    assumptions.push('Neither air.drag_area nor road_load is given: drag is left out.');
  }
  if (air?.downforce_area === undefined)
    assumptions.push('No air.downforce_area is given: neither downforce nor lift.');
  else if (air.downforce_area.split)
    assumptions.push('Downforce at front and rear is taken together: axles are not modelled.');
  if (keys.brakes === undefined)
    assumptions.push('No brakes.force is given: braking is limited by the tyres alone.');
  if (keys.pace === undefined)
    assumptions.push("No pace is given: the driver uses all of the tyre's grip (pace 1).");
  return {
    name: keys.car,
    file: yaml.source.file,
    mass,
    pace: keys.pace ?? 1,
    massFactor: rotating === null ? (keys.mass_factor ?? 1) : null,
    rotating,
    tyre: { radius, grip: tyre.grip },
    dragArea: air?.drag_area ?? 0,
    downforceArea: air?.downforce_area?.sum ?? 0,
    roadLoad,
    engine,
    driveline: line,
    brakeForce: keys.brakes?.force ?? null,
    assumptions,
  };
}

function findDriveline(
  yaml: YamlFile,
  given: NonNullable<Keys['driveline']>,
  gearing: readonly number[],
  assumptions: string[],
  faults: Faults,
): DrivelineSpec {
  if (given.driven === 'all' && given.driven_load !== undefined && given.driven_load !== 1) {
    faults.error(
      'car/driven-load',
      yaml.place(['driveline', 'driven_load']),
      `driveline.driven_load is ${given.driven_load}, but all wheels are driven, so it is 1`,
      'leave driven_load out',
    );
  }
  if (given.driven !== 'all' && given.driven_load === undefined) {
    faults.error(
      'key/missing',
      yaml.place(['driveline', 'driven']),
      `driveline.driven_load is missing: the ${given.driven} wheels drive, so their share of the weight is needed`,
      `write \`driven_load: 0.58\` (the share of the weight on the ${given.driven} axle) below \`driveline:\``,
    );
  }
  const entries = Math.max(1, gearing.length);
  let efficiency: readonly number[];
  if (Array.isArray(given.efficiency)) {
    efficiency = given.efficiency as readonly number[];
    if (efficiency.length !== entries) {
      faults.error(
        'car/per-gear',
        yaml.place(['driveline', 'efficiency']),
        `driveline.efficiency has ${entriesOf(efficiency.length)}, but there ${gears(gearing.length)}`,
        'give one number for all gears, or one per gear',
      );
    }
  } else {
    efficiency = Array.from({ length: entries }, () => (given.efficiency as number | undefined) ?? 1);
  }
  if (given.efficiency === undefined)
    assumptions.push('No driveline.efficiency is given: all of the torque arrives (1).');
  if (given.shift === undefined && gearing.length > 1)
    assumptions.push('No driveline.shift is given: shifts take no time.');
  return {
    driven: given.driven,
    drivenLoad: given.driven === 'all' ? 1 : (given.driven_load ?? 1),
    gearing,
    ratios: given.gears === undefined ? null : { gears: given.gears, finalDrive: given.final_drive! },
    efficiency,
    shift: given.shift ?? 0,
  };
}

const entriesOf = (n: number) => (n === 1 ? '1 entry' : `${n} entries`);

const gears = (n: number) => (n === 0 ? 'are no gears' : n === 1 ? 'is 1 gear' : `are ${n} gears`);

function findRotating(
  yaml: YamlFile,
  keys: Keys,
  gearCount: number,
  radius: number | null,
  faults: Faults,
): RotatingSpec | null {
  const given = keys.rotating;
  if (given === undefined) return null;
  const refuse = (key: string, message: string, help: string) =>
    faults.error('car/rotating', yaml.place(['rotating', key], 'key'), message, help);
  if (given.gearbox !== undefined && given.gearbox.length !== gearCount) {
    faults.error(
      'car/per-gear',
      yaml.place(['rotating', 'gearbox']),
      `rotating.gearbox has ${entriesOf(given.gearbox.length)}, but there ${gears(gearCount)}`,
      'give one inertia per gear',
    );
  }
  if (gearCount === 0) {
    for (const key of ['engine', 'final_drive'] as const) {
      if (given[key] !== undefined)
        refuse(
          key,
          `rotating.${key} is given, but without gears its speed is not known`,
          'leave it out, or use mass_factor',
        );
    }
  } else if (given.final_drive !== undefined && keys.driveline?.gears === undefined) {
    refuse(
      'final_drive',
      'rotating.final_drive is given, but with rpm_per_kmh the speed of the propeller shaft is not known',
      'give gears and final_drive, or add it to the wheels: inertia x ratio^2',
    );
  }
  if (given.wheels !== undefined && radius === null) {
    refuse(
      'wheels',
      'rotating.wheels needs tyre.radius, which is missing',
      'write `radius: 0.31 m` below `tyre:`',
    );
  }
  return {
    engine: given.engine ?? 0,
    gearbox: given.gearbox ?? new Array<number>(gearCount).fill(0),
    finalDrive: given.final_drive ?? 0,
    wheels: given.wheels ?? 0,
  };
}

function findRoadLoad(keys: Keys, assumptions: string[]): RoadLoadSpec | null {
  const given = keys.road_load;
  if (given === undefined) return null;
  if (given.air_density === undefined) {
    assumptions.push(
      `No road_load.air_density is given: the coast-down is taken as measured at ${ROAD_LOAD_AIR} kg/m^3 (20 degC, 98.21 kPa: SAE J2263, 40 CFR 1066.310).`,
    );
  }
  assumptions.push(
    `The road load holds rolling on asphalt (${ASPHALT_ROLLING}); other surfaces add their difference to it.`,
  );
  return {
    f0: given.f0,
    f1: given.f1,
    f2: given.f2,
    airDensity: given.air_density ?? ROAD_LOAD_AIR,
    assumedRolling: ASPHALT_ROLLING,
  };
}
