/** The words of one call, made sense of by the scale. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { nearest } from '../input/nearest.ts';
import type { Rows } from '../input/table.ts';
import type { Header } from '../input/table-header.ts';
import {
  type BendMeaning,
  type Meaning,
  type ModifierMeaning,
  type PaceNoteScale,
  WORD,
  wordsOf,
} from './pace-notes-scale.ts';

/** A bend as called. */
export interface CalledBend {
  readonly side: 1 | -1; //            1: left
  readonly bend: BendMeaning;
  readonly end: BendMeaning | null; // the bend that it becomes, where the call names it
  readonly endFactor: number; //       else: radius at its end as a factor on that at its beginning
  readonly turn: number; //            change of direction [rad]
}

/** What a call says of the road. */
export interface ReadCall {
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
export class CallReader {
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
    const { phrases, longest } = this.#scale;
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
    const { file } = this.#header.source;
    if (this.#faults.full(file, 'notes/word')) {
      this.#faults.error('notes/word', this.#header.whole, '', ''); // counted, not shown
      return;
    }
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
