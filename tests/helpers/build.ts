import { sampleRoad } from '../../src/track/road.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';

/** One row of a road in the making; what is left out is 0, or as in the row before. */
export interface Row {
  readonly s: number;
  readonly k?: number;
  readonly grade?: number;
  readonly phi?: number;
  readonly kv?: number;
  readonly surface?: string;
}

/** A road table from rows; vertical curvature counts as given if any row has it. */
export function roadTable(rows: readonly Row[]): RoadTable {
  const surfaceNames: string[] = [];
  let surface = 'asphalt';
  const ids = rows.map((row) => {
    surface = row.surface ?? surface;
    if (!surfaceNames.includes(surface)) surfaceNames.push(surface);
    return surfaceNames.indexOf(surface);
  });
  const column = (pick: (row: Row) => number | undefined) => Float64Array.from(rows, (row) => pick(row) ?? 0);
  return {
    s: column((r) => r.s),
    curvature: column((r) => r.k),
    curvatureIn: 'surface',
    grade: column((r) => r.grade),
    crossfall: column((r) => r.phi),
    verticalCurvature: rows.some((r) => r.kv !== undefined) ? column((r) => r.kv) : null,
    surface: Int32Array.from(ids),
    surfaceNames,
    xy: null,
    z: null,
    width: null,
    assumptions: [],
  };
}

/** A stage on a table: standing start, air of 1.225 kg/m³, no rolling resistance, grip factor 1. */
export function stageOn(table: RoadTable, change: Partial<Stage> = {}): Stage {
  return {
    name: 'test road',
    file: 'test-road.yaml',
    road: table,
    startSpeed: 0,
    splits: [],
    airDensity: 1.225,
    surfaces: new Map(
      table.surfaceNames.map((name) => [name, { grip: 1, rollingResistance: 0, roughness: null }]),
    ),
    closed: false,
    assumptions: [],
    ...change,
  };
}

/** A car without resistance whose tyres alone limit it: grip 1, 1000 kg, endless power. */
export function carWith(change: Partial<CarSpec> = {}): CarSpec {
  return {
    name: 'test car',
    file: 'test-car.yaml',
    mass: 1000,
    pace: 1,
    massFactor: null,
    rotating: null,
    tyre: { radius: null, grip: gripOf(1) },
    dragArea: 0,
    downforceArea: 0,
    roadLoad: null,
    engine: { kind: 'constant-power', power: 1e12 },
    driveline: { driven: 'all', drivenLoad: 1, gearing: [], ratios: null, efficiency: [1], shift: 0 },
    brakeForce: null,
    assumptions: [],
    ...change,
  };
}

/** The same grip on every surface that tests use. */
export function gripOf(
  along: number,
  across = along,
): ReadonlyMap<string, { across: number; along: number }> {
  return new Map(['asphalt', 'gravel', 'snow', 'ice', 'mud'].map((name) => [name, { across, along }]));
}

export { sampleRoad };
