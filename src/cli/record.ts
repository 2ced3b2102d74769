/**
 * A study's outcomes in a file, one line of JSON each, so that a run that was stopped can go on and shares that were
 * worked on elsewhere can be joined. The first line says of what study they are. While a study runs, lines are added
 * as they come; a study that is done leaves them in order, the same bytes however it was run.
 */
import { closeSync, existsSync, openSync, readFileSync, writeSync } from 'node:fs';
import { type Outcome, type SetUp, setUpKey } from '../study/set-up.ts';
import { writeWhole } from './write-whole.ts';

/** What a record is of. */
export interface RecordHead {
  readonly study: string; //  the command, with all that its set-ups depend on
  readonly inputs: string; // digest of all files read
  readonly set_ups: number | null; // how many there are in all; null where a search finds them as it goes
}

export interface RecordLine {
  readonly n: number; // place among the set-ups of the study
  readonly setUp: SetUp;
  readonly outcome: Outcome;
}

/** A fault of a record file, in words for people. */
export class RecordError extends Error {}

export function lineText({ n, setUp, outcome }: RecordLine): string {
  return `${JSON.stringify({
    n,
    changes: setUp.changes,
    settings: setUp.settings,
    draw: setUp.draw,
    // JSON knows no infinity: null is a sector that the car does not finish.
    sectors_s: Array.from(outcome.sectors, (time) => (Number.isFinite(time) ? time : null)),
    mass_kg: outcome.mass,
    power_to_mass_W_per_kg: outcome.powerToMass,
    fault: outcome.fault,
  })}\n`;
}

const headText = (head: RecordHead) => `${JSON.stringify({ splitcast_study: head })}\n`;

function lineFrom(text: string): RecordLine | null {
  let data: Record<string, unknown>;
  try {
    data = JSON.parse(text) as Record<string, unknown>;
  } catch {
    return null; // the line that was being written when the run was ended
  }
  const { n, changes, settings, draw, sectors_s, mass_kg, power_to_mass_W_per_kg, fault } = data;
  if (
    typeof n !== 'number' ||
    !Array.isArray(changes) ||
    !Array.isArray(settings) ||
    !Array.isArray(sectors_s)
  )
    return null;
  return {
    n,
    setUp: { changes, settings, draw: draw as number | null },
    outcome: {
      sectors: Float64Array.from(sectors_s as (number | null)[], (time) => time ?? Number.POSITIVE_INFINITY),
      mass: (mass_kg as number | null) ?? Number.NaN,
      powerToMass: (power_to_mass_W_per_kg as number | null) ?? Number.NaN,
      fault: fault as string | null,
    },
  };
}

/** Reads a record. @throws RecordError where the file is none */
export function readRecord(path: string): { readonly head: RecordHead; readonly lines: RecordLine[] } {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new RecordError(
      `${path}: cannot be read: ${(error as NodeJS.ErrnoException).code ?? String(error)}`,
    );
  }
  const [first, ...rest] = text.split('\n');
  let head: RecordHead | undefined;
  try {
    head = (JSON.parse(first) as { splitcast_study?: RecordHead }).splitcast_study;
  } catch {
    head = undefined;
  }
  if (typeof head?.study !== 'string' || typeof head.inputs !== 'string')
    throw new RecordError(
      `${path}: is no record of a study: its first line does not say so\nhelp: name a file that --save has written`,
    );
  return { head, lines: rest.flatMap((line) => lineFrom(line) ?? []) };
}

/** Whether two records are of the same study; if not, what differs. */
export function differs(a: RecordHead, b: RecordHead): string | null {
  if (a.inputs !== b.inputs)
    return 'the files of the event are others than they were, or --step, --loop, --seed';
  if (a.study !== b.study) return `it is of \`${a.study}\`, not of \`${b.study}\``;
  return a.set_ups === b.set_ups ? null : 'it counts other set-ups';
}

/**
 * Each set-up once, in order: as planned, or, of a search, whose set-ups come in turns that depend on what is known
 * already, by their keys, counted anew.
 */
export function inOrder({ set_ups }: RecordHead, lines: readonly RecordLine[]): RecordLine[] {
  const once = new Map(lines.map((line) => [setUpKey(line.setUp), line]));
  if (set_ups !== null) return [...once.values()].sort((a, b) => a.n - b.n);
  const keys = [...once.keys()].sort();
  return keys.map((key, n) => ({ ...once.get(key)!, n }));
}

/** Writes a record whole, in order. */
export function writeRecord(path: string, head: RecordHead, lines: readonly RecordLine[]): void {
  writeWhole(path, [headText(head), ...inOrder(head, lines).map(lineText)]);
}

/** The outcomes of a study as they come. */
export class Recorder {
  readonly #known = new Map<string, Outcome>();
  readonly #lines = new Map<number, RecordLine>();
  readonly #path: string | null;
  readonly #head: RecordHead;
  readonly #file: number | null;

  /** @param resume take what the file holds already. @throws RecordError where that is of another study */
  constructor(path: string | null, head: RecordHead, resume: boolean) {
    this.#path = path;
    this.#head = head;
    if (path === null) {
      this.#file = null;
      return;
    }
    if (resume) {
      const { head: before, lines } = readRecord(path);
      const why = differs(before, head);
      if (why !== null)
        throw new RecordError(`${path}: cannot be gone on with: ${why}\nhelp: begin anew with another file`);
      for (const line of inOrder(head, lines)) {
        this.#lines.set(line.n, line);
        this.#known.set(setUpKey(line.setUp), line.outcome);
      }
    } else if (existsSync(path))
      throw new RecordError(
        `${path}: is there already\nhelp: --resume goes on with it; to begin anew, remove it or name another file`,
      );
    try {
      // Anew, so that a line cut short does not run into the next.
      writeRecord(path, head, [...this.#lines.values()]);
      this.#file = openSync(path, 'a');
    } catch (error) {
      throw new RecordError(
        `${path}: cannot be written: ${(error as NodeJS.ErrnoException).code ?? String(error)}`,
      );
    }
  }

  get kept(): number {
    return this.#lines.size;
  }

  find(setUp: SetUp): Outcome | undefined {
    return this.#known.get(setUpKey(setUp));
  }

  /** @param n place among the study's set-ups; null: not one of them, remembered but not written */
  add(n: number | null, setUp: SetUp, outcome: Outcome): void {
    this.#known.set(setUpKey(setUp), outcome);
    if (n === null) return;
    const line = { n, setUp, outcome };
    this.#lines.set(n, line);
    if (this.#file !== null) writeSync(this.#file, lineText(line));
  }

  /** Closes the file. @param finished put it in order */
  close(finished: boolean): void {
    if (this.#file === null) return;
    closeSync(this.#file);
    if (finished) writeRecord(this.#path!, this.#head, [...this.#lines.values()]);
  }
}
