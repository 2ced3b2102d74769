import type { Place } from '../input/diagnostic.ts';
import type { RoadTable } from './road-table.ts';

/** What a surface does to any tyre. */
export interface SurfaceSpec {
  readonly grip: number; //              factor on the tyre's grip [–], > 0
  readonly rollingResistance: number; // crr [–], rolling force per normal load
  readonly roughness: 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G' | 'H' | null; // ISO 8608 class; null: not stated
}

/** A stage as read, in SI. */
export interface Stage {
  readonly name: string;
  readonly file: string; //                    path of the stage file as given
  readonly road: RoadTable;
  readonly startSpeed: number; //              [m/s]; 0 is a standing start
  readonly splits: readonly number[]; //       [m] from the first row, rising, inside the road; the finish not included
  readonly airDensity: number; //              [kg/m³]
  readonly surfaces: ReadonlyMap<string, SurfaceSpec>; // an entry for every name in road.surfaceNames
  readonly closed: boolean; //                 last point joined to the first; the stage is one lap
  readonly assumptions: readonly string[]; //  one sentence each: defaults used, how the air was found
  /** Where the files say what a later check may refuse; absent for a stage that was not read from files. */
  readonly places?: StagePlaces;
}

/** Places in the stage file and its road table. */
export interface StagePlaces {
  readonly start: Place; //                         the key `start`, or where it would stand
  readonly surfaces: ReadonlyMap<string, Place>; // where each surface is first written
}
