/** One way to send the car out, and what came of it. Both are plain data, so that they pass between threads. */
export interface SetUp {
  /** Which of the file's changes are made: places in `Changes.changes`, rising. */
  readonly changes: readonly number[];
  /** Values that are set beyond them: the path and the value, as they would be written. */
  readonly settings: readonly (readonly [path: string, value: number | string])[];
  /** Number of the draw from what is uncertain; null: the values as they stand. */
  readonly draw: number | null;
}

export interface Outcome {
  /** Time of each sector of each course, one course after the other [s]; Infinity from where the car cannot go on. */
  readonly sectors: Float64Array;
  readonly mass: number; //        [kg], without the stages' load
  readonly powerToMass: number; // greatest power over that mass [W/kg]
  /** Why the set-up cannot be tried (its values do not go together); then nothing above counts. */
  readonly fault: string | null;
}

/** The car as the event names it. */
export const BASE: SetUp = { changes: [], settings: [], draw: null };

/** The same text for the same set-up, other texts for others. */
export const setUpKey = ({ changes, settings, draw }: SetUp): string =>
  JSON.stringify([changes, settings, draw]);

/** Tries set-ups: in this thread, in several, or from a record. Outcomes come in the order of the set-ups. */
export type Evaluate = (setUps: readonly SetUp[]) => Promise<readonly Outcome[]>;
