import type { Place } from '../input/diagnostic.ts';
import type { RoadTable } from './road-table.ts';

/** Class of unevenness by ISO 8608. */
export type Roughness = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G' | 'H';

/** What a surface does to any tyre. */
export interface SurfaceSpec {
  readonly grip: number; //              factor on the tyre's grip [–], > 0
  readonly rollingResistance: number; // crr [–], rolling force per normal load
  readonly roughness: Roughness | null; // null: not stated
  /** Name under which the tyre knows it, where that is not its own: a stretch of gravel with a grip of its own. */
  readonly tyreSurface?: string;
}

/** Where x = 0, y = 0 of a road lies on WGS 84. */
export interface Georeference {
  readonly latitude: number; //  [deg], positive north
  readonly longitude: number; // [deg], positive east
  readonly height: number; //    of the plane on which x and y are measured [m]
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
  readonly condition?: string; //              which of its conditions was chosen; absent: none
  readonly conditions?: readonly string[]; //  names that may be chosen; absent: none
  readonly georeference?: Georeference; //     absent: not given
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
