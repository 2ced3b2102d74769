/** An event made ready for many set-ups: roads read and sampled once, cars made from the car file and its changes. */
import { checkPair } from '../input/check-pair.ts';
import { InputError } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { isSection, shown } from '../input/fields.ts';
import { beside, type FileAccess, memoryFiles } from '../input/file-access.ts';
import { nearest } from '../input/nearest.ts';
import { wholeFile } from '../input/source.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';
import { StageError } from '../sim/stage-error.ts';
import { DEFAULT_STEP, driveStage, type StageForecast, timeStage } from '../sim/time-stage.ts';
import { stageFrom } from '../track/read-stage.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { carFrom } from '../vehicle/read-car.ts';
import { applyEdits, blame, type Edit } from './edit.ts';
import { peakPower } from './peak-power.ts';
import type { Setting } from './read-changes.ts';
import { type EventSpec, type Limit, readEventFile, type Uncertain } from './read-event.ts';
import { BASE, type Evaluate, type Outcome, type SetUp } from './set-up.ts';
import { normalQuantile, sobol } from './sobol.ts';
import { parsePath } from './value-path.ts';

/** One stage in one weather: what a set-up is timed over. */
export interface Course {
  readonly loop: string;
  readonly stage: Stage;
  readonly yaml: YamlFile;
  readonly condition: string | null;
  readonly weight: number; // of the condition; 1 in all over the conditions of one stage
  readonly load: number; //   [kg] on board beyond the car's mass
  readonly first: number; //  place of its first sector in `Outcome.sectors`
  readonly sectors: number;
}

export interface StudyOptions {
  readonly step?: number; //  greatest distance between nodes [m]
  readonly loop?: string; //  only this loop
  readonly seed?: number; //  of the draws
}

// The seed where none is asked for: any number would do.
const SEED = 1;

/** What a thread needs to make the same study: texts of all files read, and the options. */
export interface StudyTexts {
  readonly path: string;
  readonly texts: Readonly<Record<string, Uint8Array>>;
  readonly options: StudyOptions;
}

export class Study {
  readonly event: EventSpec;
  readonly options: StudyOptions;
  readonly courses: readonly Course[];
  readonly step: number; // [m]
  /** Sectors of all courses together. */
  readonly sectorCount: number;
  /** Texts of the files that were read, by path. */
  readonly texts: ReadonlyMap<string, Uint8Array>;
  readonly #files: FileAccess;
  readonly #cars = new Map<string, YamlFile>();
  readonly #point: (k: number) => Float64Array;
  readonly #settings: ReadonlyMap<string, Setting>;
  #changed: { readonly key: string; readonly courses: readonly Course[] } | null = null;

  constructor(
    event: EventSpec,
    courses: readonly Course[],
    options: StudyOptions,
    files: FileAccess,
    texts: ReadonlyMap<string, Uint8Array>,
  ) {
    this.event = event;
    this.courses = courses;
    this.step = options.step ?? DEFAULT_STEP;
    this.options = options;
    this.#files = files;
    this.texts = texts;
    this.sectorCount = courses.reduce((sum, course) => sum + course.sectors, 0);
    this.#point = sobol(event.uncertain.length, options.seed ?? SEED);
    this.#settings = new Map((event.changes?.settings ?? []).map((setting) => [setting.name, setting]));
  }

  /** Everything that another thread needs. */
  toTexts(): StudyTexts {
    return { path: this.event.file, texts: Object.fromEntries(this.texts), options: this.options };
  }

  /** What a draw does to the car. */
  #draw(k: number): Edit[] {
    const point = this.#point(k);
    return this.event.uncertain.map((u, i) => drawn(u, point[i]));
  }

  /** All edits of a set-up but the stage's load, and the car file they are made in. */
  #edits(setUp: SetUp, faults: Faults): { readonly yaml: YamlFile | null; readonly edits: readonly Edit[] } {
    const all = this.event.changes?.changes ?? [];
    const made = setUp.changes.map((i) => all[i]);
    const changed = made.flatMap((change) => change.edits);
    // What is added and scaled comes on top of what is set, whichever change is written first.
    const edits = changed.filter(({ op }) => op === 'set');
    for (const [name, value] of setUp.settings) {
      const setting = this.#settings.get(name);
      if (setting?.steps) edits.push(...setting.steps[Number(value) - 1]);
      else {
        const place = setting?.place ?? wholeFile(`--over ${name}`);
        edits.push({ op: 'set', path: parsePath(name)!, value, place: () => place });
      }
    }
    edits.push(...changed.filter(({ op }) => op !== 'set'));
    if (setUp.draw !== null) edits.push(...this.#draw(setUp.draw));
    const whole = made.find((change) => change.car !== null);
    if (whole === undefined) return { yaml: this.event.car, edits };
    const path = beside(this.event.changes!.file, whole.car!);
    let yaml = this.#cars.get(path) ?? null;
    if (yaml === null) {
      yaml = readYaml(path, this.#files, faults, whole.place);
      if (yaml !== null) this.#cars.set(path, yaml);
    }
    return { yaml, edits };
  }

  /** The car of a set-up, without any load. @throws InputError where its values do not go together */
  car(setUp: SetUp): CarSpec {
    const faults = new Faults();
    const { yaml, edits: all } = this.#edits(setUp, faults);
    const edits = all.filter(({ path }) => path[0] !== 'stage');
    let car: CarSpec | null = null;
    if (yaml !== null) {
      const edited = applyEdits(yaml, edits, 'the car', faults);
      const found = new Faults();
      if (!faults.failed) car = carFrom(edited.yaml, this.#files, found);
      blame(found, yaml.source.file, edits, faults);
      if (car !== null && edited.torque !== 1) car = withTorque(car, edited.torque);
    }
    faults.throwIfFailed();
    return car!;
  }

  /** The courses of a set-up: as read, or with what its changes do to the stages. @throws InputError */
  coursesOf(setUp: SetUp): readonly Course[] {
    const faults = new Faults();
    const edits = this.#edits(setUp, faults).edits.filter(({ path }) => path[0] === 'stage');
    if (edits.length === 0) return this.courses;
    const key = JSON.stringify(edits.map(({ op, path, value }) => [op, path, value]));
    if (this.#changed?.key === key) return this.#changed.courses;
    const stages = edits.map((edit) => ({ ...edit, path: edit.path.slice(1) }));
    const made = new Map<Stage, Stage>();
    for (const { stage, yaml, condition } of this.courses) {
      if (made.has(stage)) continue;
      const edited = applyEdits(yaml, stages, 'the stage', faults);
      const found = new Faults();
      const stated = condition !== null && conditionsIn(yaml).includes(condition) ? condition : null;
      const read = faults.failed ? null : stageFrom(edited.yaml, this.#files, found, conditionOption(stated));
      blame(found, yaml.source.file, stages, faults);
      if (read !== null) made.set(stage, read);
    }
    faults.throwIfFailed();
    const courses = this.courses.map((course) => ({ ...course, stage: made.get(course.stage)! }));
    this.#changed = { key, courses };
    return courses;
  }

  /** The forecast of every course for a car of this set-up. @throws StageError */
  forecasts(setUp: SetUp, car: CarSpec): StageForecast[] {
    return this.coursesOf(setUp).map(({ stage, load }) =>
      timeStage(loaded(car, load), stage, { step: this.step }),
    );
  }

  /** Times a set-up over all courses. @throws InputError for a draw that leaves a value's bounds */
  evaluate(setUp: SetUp): Outcome {
    const sectors = new Float64Array(this.sectorCount).fill(Number.POSITIVE_INFINITY);
    try {
      const car = this.car(setUp);
      const mass = car.mass;
      const powerToMass = peakPower(car.engine) / mass;
      try {
        for (const { stage, load, first } of this.coursesOf(setUp)) {
          const driven = driveStage(loaded(car, load), stage, { step: this.step });
          for (const [k, sector] of driven.sectors.entries()) sectors[first + k] = sector.time;
        }
      } catch (error) {
        // A car that the road does not hold is an answer: it has no time.
        if (!(error instanceof StageError)) throw error;
        sectors.fill(Number.POSITIVE_INFINITY);
      }
      return { sectors, mass, powerToMass, fault: null };
    } catch (error) {
      if (!(error instanceof InputError) || setUp.draw !== null || isBase(setUp)) throw error;
      return { sectors, mass: Number.NaN, powerToMass: Number.NaN, fault: error.message.split('\n')[0] };
    }
  }

  /** Sums of what the changes of a set-up take. */
  taken(setUp: SetUp, name: string): number {
    let sum = 0;
    for (const i of setUp.changes) sum += this.event.changes!.changes[i].takes.get(name) ?? 0;
    return sum;
  }

  /**
   * By how much a set-up is beyond a limit; 0 or less where it keeps it. Rounding of a sum breaks none.
   * @param outcome null: limits on the car are taken as kept
   * @param slack by which the limit is relaxed
   */
  excess(
    setUp: SetUp,
    outcome: Pick<Outcome, 'mass' | 'powerToMass'> | null,
    limit: Limit,
    slack = 0,
  ): number {
    const { name, least, most } = limit;
    let x: number;
    if (name === 'mass' || name === 'power_to_mass') {
      if (outcome === null) return 0;
      x = name === 'mass' ? outcome.mass : outcome.powerToMass;
    } else x = this.taken(setUp, name);
    const room = slack + 1e-9 * Math.abs(x);
    return Math.max(least === null ? 0 : least - x - room, most === null ? 0 : x - most - room);
  }

  /** The limits that a set-up breaks. */
  broken(setUp: SetUp, outcome: Pick<Outcome, 'mass' | 'powerToMass'>): Limit[] {
    return this.event.limits.filter((limit) => this.excess(setUp, outcome, limit) > 0);
  }

  /** Reports all that is wrong with the base car and with each change and setting alone. */
  check(faults: Faults): void {
    const { changes, settings } = this.event.changes ?? { changes: [], settings: [] };
    const nameOf = ({ changes: [i], settings: [setting] }: SetUp) =>
      i === undefined ? `with ${setting[0]} ${setting[1]}` : `with the change ${shown(changes[i].name)}`;
    const alone: SetUp[] = [BASE, ...changes.map((_, i) => ({ ...BASE, changes: [i] }))];
    for (const { name, options, steps } of settings) {
      for (const value of steps === null ? new Set([options[0], options.at(-1)!]) : options)
        alone.push({ ...BASE, settings: [[name, value]] });
    }
    for (const setUp of alone) {
      if (isBase(setUp) && faults.failed) return;
      try {
        const car = this.car(setUp);
        const seen = new Set<string>();
        for (const { stage } of this.coursesOf(setUp)) {
          if (seen.has(stage.file)) continue;
          for (const d of checkPair(car, stage))
            faults.add(isBase(setUp) ? d : { ...d, message: `${nameOf(setUp)}: ${d.message}` });
          seen.add(stage.file);
        }
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        for (const d of error.diagnostics) faults.add(d);
      }
      if (isBase(setUp) && faults.failed) return;
    }
  }
}

const loaded = (car: CarSpec, load: number): CarSpec =>
  load === 0 ? car : { ...car, mass: car.mass + load };

const isBase = ({ changes, settings }: SetUp) => changes.length === 0 && settings.length === 0;

/** Tries set-ups one after the other, here. */
export const evaluateHere =
  (study: Study): Evaluate =>
  (setUps) =>
    Promise.resolve(setUps.map((setUp) => study.evaluate(setUp)));

const conditionOption = (condition: string | null) => (condition === null ? {} : { condition });

function withTorque(car: CarSpec, factor: number): CarSpec {
  const { engine } = car;
  if (engine.kind === 'constant-power')
    return { ...car, engine: { ...engine, power: engine.power * factor } };
  return { ...car, engine: { ...engine, value: engine.value.map((value) => value * factor) } };
}

/** @param u from 0 to 1, even */
function drawn({ path, how, op, middle, size, unit, place }: Uncertain, u: number): Edit {
  const x = middle + size * (how === 'normal' ? normalQuantile(u) : 2 * u - 1);
  const value = op === 'scale' ? 1 + x : unit === '' ? x : `${x} ${unit}`;
  const edit = { op, path, value, place: () => place };
  // Of the stages of an event one has gravel and another not.
  return path[0] === 'stage' ? { ...edit, whereStated: true } : edit;
}

/** The same study in another thread. */
export function reopenStudy({ path, texts, options }: StudyTexts): Study {
  const faults = new Faults();
  const study = openStudy(path, memoryFiles(texts), options, faults);
  faults.throwIfFailed();
  return study!;
}

/** Reads an event and all it names. @returns null where there are errors; all are reported */
export function openStudy(
  path: string,
  disk: FileAccess,
  options: StudyOptions,
  faults: Faults,
): Study | null {
  const texts = new Map<string, Uint8Array>();
  const files: FileAccess = {
    read(name, limit) {
      let bytes = texts.get(name);
      if (bytes === undefined) {
        bytes = disk.read(name, limit);
        texts.set(name, bytes);
      }
      return bytes;
    },
  };
  const event = readEventFile(path, files, faults);
  if (event === null) return null;
  const courses = coursesFrom(event, files, options, faults);
  if (faults.failed) return null;
  const study = new Study(event, courses, options, files, texts);
  study.check(faults);
  return faults.failed ? null : study;
}

function coursesFrom(event: EventSpec, files: FileAccess, options: StudyOptions, faults: Faults): Course[] {
  const courses: Course[] = [];
  const yamls = new Map<string, YamlFile | null>();
  for (const { stages } of event.loops)
    for (const { file, place } of stages)
      if (!yamls.has(file)) yamls.set(file, readYaml(file, files, faults, place));
  checkConditions(event, [...yamls.values()], faults);
  const stages = new Map<string, Stage | null>();
  let first = 0;
  for (const loop of event.loops) {
    if (options.loop !== undefined && loop.name !== options.loop) continue;
    for (const { file, load } of loop.stages) {
      const yaml = yamls.get(file);
      if (!yaml) continue;
      for (const { name, weight } of event.conditions) {
        // Where a stage does not name the condition, it is as written.
        const condition = name !== null && conditionsIn(yaml).includes(name) ? name : null;
        const key = JSON.stringify([file, condition]);
        if (!stages.has(key)) stages.set(key, stageFrom(yaml, files, faults, conditionOption(condition)));
        const stage = stages.get(key);
        if (!stage) continue;
        const sectors = stage.splits.length + 1;
        courses.push({ loop: loop.name, stage, yaml, condition: name, weight, load, first, sectors });
        first += sectors;
      }
    }
  }
  if (options.loop !== undefined && !event.loops.some(({ name }) => name === options.loop)) {
    const names = event.loops.map(({ name }) => name);
    const near = nearest(options.loop, names);
    faults.error(
      'event/loop',
      wholeFile(`--loop ${options.loop}`),
      `the event has no loop ${shown(options.loop)}`,
      near === null ? `its loops are ${names.join(', ')}` : `did you mean ${near}?`,
    );
  }
  return courses;
}

/** The names of the conditions that a stage file states. */
function conditionsIn(yaml: YamlFile): readonly string[] {
  const given = yaml.data['conditions'];
  return isSection(given) ? Object.keys(given) : [];
}

/** One name that no stage states may stand for the stages as written; more would be slips. */
function checkConditions(event: EventSpec, yamls: readonly (YamlFile | null)[], faults: Faults): void {
  const known = [...new Set(yamls.flatMap((yaml) => (yaml === null ? [] : conditionsIn(yaml))))];
  const strangers = event.conditions.filter(({ name }) => name !== null && !known.includes(name));
  for (const { name, place } of strangers) {
    const near = nearest(name!, known);
    if (near === null && strangers.length === 1) continue;
    faults.error(
      'event/condition',
      place,
      `no stage of the event has a condition ${shown(name)}`,
      near !== null
        ? `did you mean ${near}?`
        : `${known.length > 0 ? `the stages state ${known.join(', ')}; ` : ''}write what it does to the surfaces below \`conditions:\` in the stage files; one name that none of them has stands for the stages as written`,
    );
  }
}
