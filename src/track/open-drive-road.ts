/**
 * Roads of an OpenDRIVE file as one road table: rows at most a metre apart along the reference line.
 *
 * s of OpenDRIVE runs in plan, that of a road table along the surface: ds = √(1 + (dz/ds)²) ds in plan. Superelevation
 * is positive where the road falls to the right (ASAM OpenDRIVE 1.7, from memory), as crossfall is here.
 */
import type { Faults } from '../input/faults.ts';
import { wholeFile } from '../input/source.ts';
import { integrate } from '../numbers/integrate.ts';
import type { Material, OpenDriveRoad, Profile } from './open-drive.ts';
import type { DrivenRoad } from './open-drive-chain.ts';
import { BEGIN, goOn, planLength, pointAt } from './open-drive-curve.ts';
import type { RoadTable } from './road-table.ts';
import { type LaidSurface, laidName } from './surface-ranges.ts';

/** Distance between rows in plan [m], at most. */
const ROW_SPACING = 1;
/** Changes of grade below this at one place are rounding in the file [–]. No source. */
const KINK = 0.002;
/** Where the lanes name no surface: OpenDRIVE describes paved roads. */
const SURFACE = 'asphalt';

export interface OpenDriveTable {
  readonly road: RoadTable;
  readonly laid: ReadonlyMap<string, LaidSurface>; // what each of its surface names stands for
  readonly hasSurfaces: boolean; //                   some lane states what it is made of
}

/** Tabulates the chain. @returns null where a curve is none that a car could follow (reported) */
export function tabulate(chain: readonly DrivenRoad[], file: string, faults: Faults): OpenDriveTable | null {
  const all = new Rows();
  for (const { road, against } of chain) {
    const rows = rowsOf(road);
    const wild = rows.curvature.findIndex((k) => !(Math.abs(k) <= 1));
    if (wild !== -1) {
      faults.error(
        'xodr/curve',
        wholeFile(file),
        `the road ${road.id} turns tighter than with a radius of 1 m, ${rows.s[wild].toFixed(1)} m from its start`,
        'are the coefficients of its curve in metres?',
      );
      return null;
    }
    all.append(against ? rows.turned() : rows);
  }
  if (all.kink > KINK) {
    faults.warning(
      'xodr/grade',
      wholeFile(file),
      `the grade jumps by up to ${(all.kink * 100).toFixed(1)} %, most ${(all.kinkAt / 1000).toFixed(3)} km from the start`,
      'it is rounded over the two metres round it; elevation records should meet in height and grade',
    );
  }
  const hasSurfaces = chain.some(({ road }) => road.materials.length > 0);
  return { ...all.table(describe(chain, hasSurfaces)), hasSurfaces };
}

function describe(chain: readonly DrivenRoad[], hasSurfaces: boolean): string[] {
  const roads = chain.map(({ road, against }) => `${road.id}${against ? ' against its direction' : ''}`);
  return [
    `The road is that of an OpenDRIVE file, along the reference line of ${chain.length === 1 ? 'road' : 'the roads'} ${roads.join(', ')}, in rows at most ${ROW_SPACING} m apart.`,
    hasSurfaces
      ? 'Friction of a lane is taken as a factor on the grip of the tyre, the least of the lanes that are driven on.'
      : `The lanes name no material: ${SURFACE} throughout, where the stage does not say otherwise.`,
  ];
}

/** Rows along a road. `surface` is that of the stretch after the row. */
class Rows {
  readonly s: number[] = [];
  readonly curvature: number[] = [];
  readonly grade: number[] = [];
  readonly crossfall: number[] = [];
  readonly x: number[] = [];
  readonly y: number[] = [];
  readonly z: number[] = [];
  readonly surface: LaidSurface[] = [];
  kink = 0;
  kinkAt = 0;

  /** Adds a row; one at the place of the last becomes a step where curvature or crossfall differ, else is one with it. */
  push(s: number, row: RowValues): void {
    const n = this.s.length - 1;
    if (n < 0 || s > this.s[n]) {
      this.#add(s, row, row.grade);
      return;
    }
    const kink = Math.abs(row.grade - this.grade[n]);
    if (kink > this.kink) [this.kink, this.kinkAt] = [kink, s];
    const grade = (row.grade + this.grade[n]) / 2;
    this.grade[n] = grade;
    const steps =
      Math.abs(row.curvature - this.curvature[n]) > 1e-9 ||
      Math.abs(row.crossfall - this.crossfall[n]) > 1e-9;
    const stepped = n > 0 && this.s[n - 1] === this.s[n];
    if (steps && !stepped) this.#add(s, row, grade);
    else {
      if (steps) [this.curvature[n], this.crossfall[n]] = [row.curvature, row.crossfall];
      this.surface[n] = row.surface;
    }
  }

  #add(s: number, row: RowValues, grade: number): void {
    this.s.push(s);
    this.curvature.push(row.curvature);
    this.grade.push(grade);
    this.crossfall.push(row.crossfall);
    this.x.push(row.x);
    this.y.push(row.y);
    this.z.push(row.z);
    this.surface.push(row.surface);
  }

  at(i: number): RowValues {
    const [curvature, grade, crossfall] = [this.curvature[i], this.grade[i], this.crossfall[i]];
    return {
      curvature,
      grade,
      crossfall,
      x: this.x[i],
      y: this.y[i],
      z: this.z[i],
      surface: this.surface[i],
    };
  }

  /** Adds rows that go on from the last. */
  append(rows: Rows): void {
    const from = this.s.at(-1) ?? 0;
    for (let i = 0; i < rows.s.length; i++) this.push(from + rows.s[i], rows.at(i));
    if (rows.kink > this.kink) [this.kink, this.kinkAt] = [rows.kink, from + rows.kinkAt];
  }

  /** The same road driven from its end. */
  turned(): Rows {
    const back = new Rows();
    const n = this.s.length - 1;
    const length = this.s[n];
    for (let i = n; i >= 0; i--) {
      const row = this.at(i);
      back.#add(
        length - this.s[i],
        {
          ...row,
          curvature: -row.curvature,
          crossfall: -row.crossfall,
          surface: this.surface[Math.max(0, i - 1)],
        },
        -row.grade,
      );
    }
    [back.kink, back.kinkAt] = [this.kink, length - this.kinkAt];
    return back;
  }

  table(assumptions: readonly string[]): Pick<OpenDriveTable, 'road' | 'laid'> {
    const laid = new Map<string, LaidSurface>();
    const index = new Map<string, number>();
    const surface = Int32Array.from(this.surface, (as) => {
      const name = laidName(as);
      if (!index.has(name)) {
        index.set(name, laid.size);
        laid.set(name, as);
      }
      return index.get(name)!;
    });
    const column = (values: readonly number[]) => Float64Array.from(values);
    return {
      laid,
      road: {
        s: column(this.s),
        curvature: column(this.curvature),
        curvatureIn: 'plan',
        grade: column(this.grade),
        crossfall: column(this.crossfall),
        verticalCurvature: null,
        surface,
        surfaceNames: [...laid.keys()],
        xy: { x: column(this.x), y: column(this.y) },
        z: column(this.z),
        width: null,
        assumptions,
      },
    };
  }
}

interface RowValues {
  readonly curvature: number;
  readonly grade: number;
  readonly crossfall: number;
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly surface: LaidSurface;
}

function rowsOf(road: OpenDriveRoad): Rows {
  const rows = new Rows();
  const breaks = Float64Array.from(
    [...road.elevation, ...road.superelevation, ...road.materials],
    ({ s }) => s,
  ).sort();
  let nextBreak = 0;
  let along = 0; // on the surface [m]
  for (const [g, piece] of road.geometry.entries()) {
    const end = Math.min(piece.s + piece.length, road.geometry[g + 1]?.s ?? Number.POSITIVE_INFINITY);
    let last = BEGIN;
    for (let from = piece.s; from < end - NEAR; ) {
      while (nextBreak < breaks.length && breaks[nextBreak] <= from + NEAR) nextBreak++;
      const to = nextBreak < breaks.length && breaks[nextBreak] < end - NEAR ? breaks[nextBreak] : end;
      const height = activeAt(road.elevation, from);
      const bank = activeAt(road.superelevation, from);
      const surface = surfaceOf(activeAt(road.materials, from));
      const steepness = (s: number) => Math.hypot(1, slopeOf(height, s));
      const cells = Math.max(1, Math.ceil((to - from) / ROW_SPACING - 1e-9));
      for (let c = 0; c <= cells; c++) {
        const s = from + ((to - from) * c) / cells;
        const here = goOn(piece, s - piece.s, last);
        if (c > 0) {
          const before = from + ((to - from) * (c - 1)) / cells;
          const plan = planLength(piece, last, here);
          along += (plan * integrate(steepness, before, s, 1)) / (s - before);
        }
        last = here;
        const { x, y, curvature } = pointAt(piece, here);
        const [grade, crossfall, z] = [slopeOf(height, s), cubicAt(bank, s), cubicAt(height, s)];
        rows.push(along, { curvature, grade, crossfall, x, y, z, surface });
      }
      from = to;
    }
  }
  return rows;
}

/** Changes closer to each other than this are at one place [m]. */
const NEAR = 1e-6;

/** The last that begins at or before a place; null where none does. The list is in the order of s. */
function activeAt<T extends { readonly s: number }>(list: readonly T[], s: number): T | null {
  let low = 0;
  let high = list.length; // all before `low` begin at or before s, none from `high` on
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle].s <= s + NEAR) low = middle + 1;
    else high = middle;
  }
  return low === 0 ? null : list[low - 1];
}

function cubicAt(profile: Profile | null, s: number): number {
  if (profile === null) return 0;
  const [a, b, c, d] = profile.abcd;
  const x = s - profile.s;
  return a + x * (b + x * (c + x * d));
}

function slopeOf(profile: Profile | null, s: number): number {
  if (profile === null) return 0;
  const [, b, c, d] = profile.abcd;
  const x = s - profile.s;
  return b + x * (2 * c + x * 3 * d);
}

function surfaceOf(material: Material | null): LaidSurface {
  const surface = material?.surface ?? SURFACE;
  return material === null || material.friction === 1 ? { surface } : { surface, grip: material.friction };
}
