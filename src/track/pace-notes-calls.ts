/** The call list of pace notes: what is called where, as the scale understands it. */
import type { Place } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../input/file-access.ts';
import { nearest } from '../input/nearest.ts';
import { readSource } from '../input/source.ts';
import { type NumberColumn, type Rows, readRows } from '../input/table.ts';
import { checkColumns, type Header, readHeader } from '../input/table-header.ts';
import {
  type BendMeaning,
  type Meaning,
  type ModifierMeaning,
  type PaceNoteScale,
  WORD,
  wordsOf,
} from './pace-notes-scale.ts';
import { grade } from './road-columns.ts';

/** One call. */
export interface Call {
  readonly at: number; //                  where what it calls begins [m] from the start line
  readonly text: string; //                as written
  readonly bend: CalledBend | null; //     null: the road goes straight on
  readonly crest: ModifierMeaning | null; // a crest or dip whose top or bottom lies here
  readonly grade: number | null; //        [–] from here on; null: as before
  readonly surface: string | null; //      from here on; null: as before
  readonly place: Place;
}

export interface CalledBend {
  readonly side: 1 | -1; //               1: left
  readonly bend: BendMeaning;
  readonly end: BendMeaning | null; //    the bend that it becomes, where the call names it
  readonly endFactor: number; //          else: radius at its end as a factor on that at its beginning
  readonly turn: number; //               change of direction [rad]
}

export interface CallList {
  readonly calls: readonly Call[]; // in the order of travel, the finish not among them
  readonly finish: number; //         [m]
}

const columns: Readonly<Record<string, NumberColumn>> = {
  distance_m: {
    unit: 'm',
    min: 0,
    max: 1e6,
    help: 'metres from the start line to where the bend begins, rising from row to row',
  },
  grade_pct: { ...grade, empty: Number.NaN },
};
const ALLOWED = [...Object.keys(columns), 'call', 'surface', 'note'];

/** Calls closer than this are one place on the road [m]. Common practice, no source. */
const LEAST_GAP = 1;

/** Reads a call list. @returns null where it has errors; all are reported */
export function readCalls(
  path: string,
  files: FileAccess,
  scale: PaceNoteScale,
  all: Faults,
): CallList | null {
  const faults = new Faults();
  const list = callsFrom(path, files, scale, faults);
  all.take(faults);
  return faults.failed ? null : list;
}

function callsFrom(path: string, files: FileAccess, scale: PaceNoteScale, faults: Faults): CallList | null {
  const source = readSource(path, files, TABLE_LIMIT, faults, null);
  if (source === null) return null;
  const header = readHeader(source, ALLOWED, 'distance_m,call', null, faults);
  if (header === null) return null;
  const stranger = () => 'remarks belong into a column note';
  if (!checkColumns(header, ALLOWED, ['distance_m', 'call'], null, 'a call list', faults, stranger))
    return null;
  const rows = readRows(header, columns, faults);
  const distance = rows.numbers('distance_m');
  const texts = rows.texts('call');
  const read = texts.map((text, i) => new CallReader(text, rows, i, header, scale, faults).read());
  if (!rows.whole) return null;
  checkDistances(rows, distance, header, faults);
  checkFinish(rows, read, header, faults);
  if (faults.failed) return null;
  const optional = (name: string) => (rows.has(name) ? rows.numbers(name) : null);
  const percent = optional('grade_pct');
  const surface = rows.has('surface') ? rows.texts('surface') : null;
  const n = rows.n - 1;
  return {
    finish: Math.round(distance[n] * 1000) / 1000,
    calls: Array.from({ length: n }, (_, i) => ({
      at: Math.round(distance[i] * 1000) / 1000, // as a table has it
      text: texts[i],
      bend: read[i].bend,
      crest: read[i].crest,
      grade: percent === null || Number.isNaN(percent[i]) ? null : percent[i] / 100,
      surface: surface === null || surface[i] === '' ? null : surface[i],
      place: rows.place(i, 'call'),
    })),
  };
}

function checkDistances(rows: Rows, distance: Float64Array, header: Header, faults: Faults): void {
  for (let i = 1; i < rows.n; i++) {
    const gap = distance[i] - distance[i - 1];
    if (gap >= LEAST_GAP) continue;
    const full = faults.full(header.source.file, 'notes/distance');
    faults.error(
      'notes/distance',
      full ? header.whole : rows.place(i, 'distance_m'),
      gap < 0
        ? `distance_m falls from ${distance[i - 1]} to ${distance[i]} m; expected it to rise`
        : `the calls at ${distance[i - 1]} and ${distance[i]} m are less than ${LEAST_GAP} m apart`,
      gap < 0 ? 'sort the calls along the road' : 'put them into one call, such as `left 4 over crest`',
    );
  }
}

function checkFinish(rows: Rows, read: readonly ReadCall[], header: Header, faults: Faults): void {
  const at = read.findIndex((call) => call.finish);
  if (at === -1) {
    faults.error(
      'notes/finish',
      rows.n === 0 ? header.whole : rows.place(rows.n - 1, 'call'),
      'the call list has no finish',
      'write it as the last call, such as `8420,finish`, so that the length of the stage is known',
    );
  } else if (at < rows.n - 1) {
    faults.error(
      'notes/finish',
      rows.place(at + 1, 'call'),
      'there is a call after the finish',
      'leave it out, or move the finish to the end',
    );
  } else if (rows.n > 0 && rows.numbers('distance_m')[at] < LEAST_GAP) {
    faults.error(
      'notes/finish',
      rows.place(at, 'distance_m'),
      'the finish lies at the start line',
      'distances count from the start line, in metres',
    );
  }
}

interface ReadCall {
  readonly bend: CalledBend | null;
  readonly crest: ModifierMeaning | null;
  readonly finish: boolean;
}

/** A word of the call, or several that the scale knows as one. */
interface Phrase {
  readonly meaning: Meaning;
  readonly words: string;
  readonly from: number; // index of the first word
  readonly to: number; //   past the last
}

/** Makes sense of one call, and reports where it has none. */
class CallReader {
  readonly #words: readonly string[];
  readonly #rows: Rows;
  readonly #row: number;
  readonly #header: Header;
  readonly #scale: PaceNoteScale;
  readonly #faults: Faults;
  #unknownWord = false;

  constructor(text: string, rows: Rows, row: number, header: Header, scale: PaceNoteScale, faults: Faults) {
    this.#words = wordsOf(text);
    this.#rows = rows;
    this.#row = row;
    this.#header = header;
    this.#scale = scale;
    this.#faults = faults;
  }

  read(): ReadCall {
    let side: 1 | -1 | null = null;
    let bend: BendMeaning | null = null;
    let end: BendMeaning | null = null;
    let ending: ModifierMeaning | null = null;
    let crest: ModifierMeaning | null = null;
    let turn = 1;
    let finish = false;
    let needsBend: Phrase | null = null;
    for (const phrase of this.#phrases()) {
      const { meaning, words } = phrase;
      if (meaning.is === 'finish') finish = true;
      const said = meaning.is === 'side' || meaning.is === 'bend' ? meaning.side : null;
      if (said !== null) {
        if (side !== null && side !== said)
          this.#fault(phrase, 'the call says both left and right', 'write a second call for the other bend');
        side = said;
      }
      if (meaning.is === 'bend') {
        if (bend === null) bend = meaning.bend;
        else if (ending !== null && end === null) end = meaning.bend;
        else
          this.#fault(
            phrase,
            `the call names two bends, ${bend.name} and ${meaning.bend.name}`,
            'say how the one becomes the other, such as `left 4 tightens 3`, or write a second call',
          );
      }
      if (meaning.is !== 'modifier') continue;
      const { modifier } = meaning;
      if (modifier.turn !== null || modifier.end !== null) needsBend ??= phrase;
      turn *= modifier.turn ?? 1;
      if (modifier.end !== null) {
        if (ending !== null)
          this.#fault(phrase, `the call says both ${ending.name} and ${words}`, 'leave one of them out');
        ending = modifier;
      }
      if (modifier.length > 0) {
        if (crest !== null)
          this.#fault(
            phrase,
            `the call says both ${crest.name} and ${words}`,
            'write a call of its own for one of them',
          );
        crest = modifier;
      }
    }
    // The word that is not known may be what is missing.
    if (!this.#unknownWord) this.#checkParts(bend, side, needsBend);
    if (finish && (bend !== null || crest !== null))
      this.#fault(
        null,
        'the call says the finish and something else',
        'write the finish as a call of its own',
      );
    const whole = bend !== null && side !== null;
    return {
      finish,
      crest,
      bend: whole
        ? { side: side!, bend: bend!, end, endFactor: ending?.end ?? 1, turn: bend!.turn * turn }
        : null,
    };
  }

  #checkParts(bend: BendMeaning | null, side: 1 | -1 | null, needsBend: Phrase | null): void {
    const bends = `the bends of the scale are ${this.#scale.bends.map(({ name }) => name).join(', ')}`;
    if (bend !== null && side === null)
      this.#fault(
        null,
        `the call does not say to which side the ${bend.name} goes`,
        'write `left` or `right` before it',
      );
    else if (bend === null && side !== null)
      this.#fault(null, 'the call says a side but names no bend', bends);
    else if (bend === null && needsBend !== null)
      this.#fault(needsBend, `${needsBend.words} says something of a bend, but the call names none`, bends);
  }

  /** The longest phrases that the scale knows, from the left. */
  *#phrases(): Generator<Phrase> {
    const { phrases } = this.#scale;
    const longest = Math.max(...Array.from(phrases.keys(), (phrase) => phrase.split(' ').length));
    for (let from = 0; from < this.#words.length; ) {
      let to = Math.min(from + longest, this.#words.length);
      while (to > from + 1 && !phrases.has(this.#words.slice(from, to).join(' '))) to--;
      const words = this.#words.slice(from, to).join(' ');
      const meaning = phrases.get(words);
      if (meaning === undefined) this.#unknown({ words, from, to });
      else yield { meaning, words, from, to };
      from = to;
    }
  }

  #unknown(phrase: Omit<Phrase, 'meaning'>): void {
    this.#unknownWord = true;
    const near = nearest(phrase.words, [...this.#scale.phrases.keys()]);
    const add = `words that change nothing belong into \`ignore\` of ${this.#scale.file}`;
    this.#fault(
      phrase,
      `the scale has no word ${phrase.words.length > 40 ? `${phrase.words.slice(0, 39)}…` : phrase.words}`,
      near === null ? add : `did you mean ${near}? If not: ${add}`,
      'notes/word',
    );
  }

  #fault(at: Pick<Phrase, 'from' | 'to'> | null, message: string, help: string, code = 'notes/call'): void {
    const { file } = this.#header.source;
    this.#faults.error(
      code,
      this.#faults.full(file, code) ? this.#header.whole : this.#place(at),
      message,
      help,
    );
  }

  /** Where words of the call stand; the whole call for null. */
  #place(at: Pick<Phrase, 'from' | 'to'> | null): Place {
    const cell = this.#rows.place(this.#row, 'call');
    if (at === null) return cell;
    const written = cell.source.slice(cell.col - 1, cell.col - 1 + cell.length);
    const found = [...written.matchAll(WORD)];
    const [first, last] = [found[at.from], found[at.to - 1]];
    if (first === undefined || last === undefined) return cell;
    const end = last.index + last[0].length;
    return { ...cell, col: cell.col + first.index, length: end - first.index };
  }
}
