/** A road fitted to recorded positions: what it looks like, how far the data can be trusted, and roads that fit as well. */
import { fitCentreline } from '../centreline.ts';
import type { RoadTable } from '../road-table.ts';
import type { Pass } from './pass.ts';

export interface FitOptions {
  /** Name of the road's surface, the same throughout. */
  readonly surface: string;
}

/** A road fitted to one pass or several. */
export interface RoadFit {
  readonly table: RoadTable; // stations at most 1 m apart, the first 0, with xy; z and width where recorded
  readonly found: FoundInPasses;
  /** Why the data cannot carry a forecast and what to do; null where they can. */
  readonly refusal: Refusal | null;
  /** A road drawn from what the data leave open, as long as it is alike. @param random even on 0 … 1, seeded */
  draw(random: () => number): RoadTable;
  readonly points: FittedPoints;
}

export interface Refusal {
  readonly reason: string; // one sentence
  readonly advice: string; // one sentence
}

/** What the fit says about the road and the data. Null where it could not be told. */
export interface FoundInPasses {
  readonly length: number; //                  along the surface [m]
  readonly climb: number; //                   sum of rises [m]
  readonly steepest: { readonly grade: number; readonly at: number }; // greatest |tan θ|, signed, and its station [m]
  readonly tightest: { readonly radius: number; readonly at: number }; // least radius [m] and its station [m]
  readonly resolvable: number; //              least radius of a bend that the data can tell to 10 % [m]
  readonly passes: number; //                  that entered the fit
  readonly pointCount: number; //              that entered the fit
  readonly spacing: number; //                 median distance between points of a pass [m]
  readonly largestGap: number; //              longest distance along the road without a point of any pass [m]
  readonly noiseAcross: number; //             standard deviation of one point [m]
  readonly noiseAlong: number | null; //       [m]
  readonly noiseHeight: number | null; //      [m]
  readonly correlationLength: number; //       distance over which the noise across falls to 1/e [m]; 0: it is white
  readonly passOffset: number | null; //       standard deviation of a whole pass to the side, slowly varying [m]
  readonly heights: 'all' | 'part' | 'none'; // which points have one
  readonly mended: readonly string[]; //       what was mended or left out, one sentence each, with places
}

/** Every point handed over, against the fitted road; the arrays share one index, passes one after the other. */
export interface FittedPoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array; //        NaN where not recorded
  readonly pass: Int32Array; //       index of the pass
  readonly station: Float64Array; //  station of the nearest point of the road [m], NaN where it was left out
  readonly used: Uint8Array; //       0 where it was left out, or taken for an outlier
}

/**
 * Fits a road to passes that all run the same way along the same road.
 * @param passes 1 or more
 * @throws RangeError where no line can be laid: fewer than 4 different points, or they do not lead anywhere
 */
export function fitRoad(passes: readonly Pass[], options: FitOptions): RoadFit {
  const [pass] = passes;
  const { x, y, z } = pass;
  const n = x.length;
  const keep: number[] = [];
  for (let i = 0; i < n; i++) {
    const last = keep[keep.length - 1];
    if (last === undefined || x[i] !== x[last] || y[i] !== y[last]) keep.push(i);
  }
  const column = (values: Float64Array) => Float64Array.from(keep, (i) => values[i]);
  const heights = z.some((height) => Number.isNaN(height)) ? null : column(z);
  const table = fitCentreline(
    { x: column(x), y: column(y), z: heights, width: null, surface: null },
    { closed: false, surfaceNames: [options.surface] },
  );
  const length = table.s[table.s.length - 1];
  return {
    table,
    found: {
      length,
      climb: 0,
      steepest: { grade: 0, at: 0 },
      tightest: { radius: Infinity, at: 0 },
      resolvable: 0,
      passes: 1,
      pointCount: keep.length,
      spacing: length / (keep.length - 1),
      largestGap: 0,
      noiseAcross: 0,
      noiseAlong: null,
      noiseHeight: null,
      correlationLength: 0,
      passOffset: null,
      heights: heights === null ? 'none' : 'all',
      mended: [],
    },
    refusal: null,
    draw: () => table,
    points: {
      x,
      y,
      z,
      pass: new Int32Array(n),
      station: new Float64Array(n),
      used: new Uint8Array(n).fill(1),
    },
  };
}
