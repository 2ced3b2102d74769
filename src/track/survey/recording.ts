/** A line of positions as a file holds it: a track, a route, a line of a map, a table. */
import type { Place } from '../../input/diagnostic.ts';

/** n points in the order of the file; the arrays share one index. */
export interface Recording {
  readonly name: string; // '' where the file gives none
  readonly what: 'track' | 'route' | 'line' | 'table';
  readonly place: Place; // where it begins
  /** Whether `east` and `north` are longitude and latitude on WGS 84 [deg], or x and y on a plane [m]. */
  readonly degrees: boolean;
  readonly east: Float64Array; //   (n) longitude [deg], or x [m]
  readonly north: Float64Array; //  (n) latitude [deg], or y [m]
  readonly height: Float64Array; // (n) [m], NaN where not recorded
  readonly time: Float64Array; //   (n) seconds since 1970 began [s], NaN where not recorded
  readonly begins: Uint8Array; //   (n) 1 where a part (segment) begins
  readonly width: Float64Array | null; // (n) width of the road [m]
  /** What the file holds beside it that was not read, one sentence each. */
  readonly remarks: readonly string[];
}

/** The bounds of a position, as GPX 1.1 and RFC 7946 have them; 180 itself is taken too. */
export const LATITUDE = 90;
export const LONGITUDE = 180;
/** Heights beyond these are marks of receivers and maps for "not known" (such as -9999 or 32768). No source. */
export const LOWEST = -1000;
export const HIGHEST = 10_000;
/** At 10 points a second this is over a day of driving. No source. */
export const MOST_POINTS = 1_000_000;

/** Collects the points of one recording. */
export class RecordingBuilder {
  readonly #east: number[] = [];
  readonly #north: number[] = [];
  readonly #height: number[] = [];
  readonly #time: number[] = [];
  readonly #begins: number[] = [];
  #newPart = true;
  #unreal = 0;

  get count(): number {
    return this.#east.length;
  }

  /** The next point begins a part of its own. */
  beginPart(): void {
    this.#newPart = true;
  }

  /** @param height [m], NaN where not recorded; beyond all roads it is taken as not recorded, and counted */
  add(east: number, north: number, height: number, time: number): void {
    const real = height >= LOWEST && height <= HIGHEST;
    if (!real && !Number.isNaN(height)) this.#unreal++;
    this.#east.push(east);
    this.#north.push(north);
    this.#height.push(real ? height : Number.NaN);
    this.#time.push(time);
    this.#begins.push(this.#newPart ? 1 : 0);
    this.#newPart = false;
  }

  build(
    of: Pick<Recording, 'name' | 'what' | 'place' | 'degrees' | 'width'>,
    remarks: readonly string[] = [],
  ): Recording {
    const unreal = this.#unreal;
    const heights = `${unreal === 1 ? '1 height' : `${unreal} heights`} beyond ${LOWEST} to ${HIGHEST} m taken as not recorded.`;
    return {
      ...of,
      east: Float64Array.from(this.#east),
      north: Float64Array.from(this.#north),
      height: Float64Array.from(this.#height),
      time: Float64Array.from(this.#time),
      begins: Uint8Array.from(this.#begins),
      remarks: unreal > 0 ? [...remarks, heights] : remarks,
    };
  }
}
