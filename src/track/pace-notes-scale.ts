/** The scale file of pace notes: what each word of a call means for the road. */
import { Faults } from '../input/faults.ts';
import { fault, list, named, plain, quantity, section, text } from '../input/fields.ts';
import type { FileAccess } from '../input/file-access.ts';
import { readKeys } from '../input/report-issues.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';

/** Tight and wide end of a range of radii [m], the tight one first. */
export type RadiusRange = readonly [tight: number, wide: number];

/** What a bend of this name is. */
export interface BendMeaning {
  readonly name: string;
  readonly radius: RadiusRange; // [m]
  readonly turn: number; //        change of direction [rad]
}

/** What a word adds to a call. */
export interface ModifierMeaning {
  readonly name: string;
  readonly turn: number | null; //          factor on the change of direction
  readonly end: number | null; //           radius at the bend's end, as a factor on that at its beginning
  readonly over: RadiusRange | null; //     a crest: radius in side view [m]
  readonly through: RadiusRange | null; //  a dip: radius in side view [m]
  readonly length: number; //               of the crest or dip along the road [m]
}

export type Meaning =
  | { readonly is: 'side'; readonly side: 1 | -1 } // 1: left
  | { readonly is: 'bend'; readonly bend: BendMeaning; readonly side: 1 | -1 | null }
  | { readonly is: 'modifier'; readonly modifier: ModifierMeaning }
  | { readonly is: 'finish' }
  | { readonly is: 'nothing' };

export interface PaceNoteScale {
  readonly name: string;
  readonly file: string;
  readonly easing: number; // share of a bend at either end over which it winds in and out, 0 to 0.45
  readonly bends: readonly BendMeaning[]; // tightest first
  /** Which way the numbers run: the tightest and the gentlest; null where fewer than two bends have a number. */
  readonly numbers: { readonly tightest: string; readonly gentlest: string } | null;
  /** Words, or several with single spaces between, in lower case. */
  readonly phrases: ReadonlyMap<string, Meaning>;
  readonly longest: number; // most words in one of them
}

// Hairpins of 4 m can be driven with the handbrake; what is wider than 5 km is straight. Common practice, no source.
const radii = (max: number, example: string) =>
  list(
    quantity('length', { min: 3, max, example: example.replace(/^\[(.*),.*$/, '$1') }),
    'two radii, the tight and the wide end',
    example,
    (range, ctx) => {
      if (range.length === 2 && range[0] <= range[1]) return;
      fault(ctx, 'scale/range', (key, write) => ({
        message:
          range.length === 2
            ? `${key} begins with the wider radius, ${range[0]} m, and ends with ${range[1]} m`
            : `${key} has ${range.length === 1 ? 'one radius' : `${range.length} radii`}, expected two`,
        help: `write the tight end first, such as ${write(example)}`,
      }));
    },
  ).transform(([tight, wide]): RadiusRange => [tight, wide]);

const bend = section(
  {
    radius: radii(5000, '[60 m, 100 m]'),
    turn: quantity('angle', { above: 0, max: 360, example: '45 deg' }),
  },
  'radius and turn',
  '{radius: [60 m, 100 m], turn: 45 deg}',
);

const factor = (what: string, example: string) => plain(what, { min: 0.1, max: 10, example });

const modifier = section(
  {
    turn: factor('a factor on the turn of the bend', '1.5').optional(),
    end: factor("a factor on the bend's radius, for its end", '0.65').optional(),
    over: radii(20_000, '[150 m, 400 m]').optional(),
    through: radii(20_000, '[150 m, 400 m]').optional(),
    length: quantity('length', { min: 8, max: 500, example: '60 m' }).optional(),
  },
  'turn, end, over or through',
  '{turn: 1.5}',
).transform((read, ctx) => {
  const vertical = read.over ?? read.through;
  const wrong =
    read.over !== undefined && read.through !== undefined
      ? 'is both a crest (over) and a dip (through)'
      : vertical !== undefined && read.length === undefined
        ? 'has a radius in side view but no length'
        : Object.keys(read).every((key) => read[key as keyof typeof read] === undefined)
          ? 'changes nothing'
          : null;
  if (wrong === null) return read;
  return fault(ctx, 'scale/modifier', (key) => ({
    message: `${key} ${wrong}`,
    help: 'write, for example, `crest: {over: [150 m, 400 m], length: 60 m}`; words that change nothing belong into `ignore`',
  }));
});

const wordList = (example: string) => list(text('a word', example), 'a list of words', `[${example}]`);

const shape = {
  scale: text('the name of the scale', 'One is tight'),
  bends: named(bend, 'bends by name', '{4: {radius: [60 m, 100 m], turn: 45 deg}}'),
  modifiers: named(modifier, 'modifiers by name', '{long: {turn: 1.5}}').optional(),
  left: wordList('left').optional(),
  right: wordList('right').optional(),
  finish: wordList('finish').optional(),
  ignore: wordList('caution').optional(),
  easing: plain('a share of the bend', { min: 0, max: 0.45, example: '0.25' }).optional(),
};

/** Share of a bend at either end over which it winds in and out, where the scale does not say. No source. */
const EASING = 0.25;

/** The keys a scale file may have. */
export const scaleKeys: readonly string[] = Object.keys(shape);

/** Reads a scale file. @returns null where it has errors; all are reported */
export function readScale(path: string, files: FileAccess, all: Faults): PaceNoteScale | null {
  const faults = new Faults();
  const yaml = readYaml(path, files, faults, null);
  const scale = yaml === null ? null : scaleFrom(yaml, faults);
  all.take(faults);
  return faults.failed ? null : scale;
}

function scaleFrom(yaml: YamlFile, faults: Faults): PaceNoteScale | null {
  const read = readKeys(yaml, shape, faults);
  if (faults.failed) return null;
  const bends = [...read.bends!].map(([name, meaning]): BendMeaning => ({ name, ...meaning }));
  const sides = (read.left?.length ?? 2) + (read.right?.length ?? 2);
  if (bends.length * sides > MOST_JOINED) {
    faults.error(
      'scale/many',
      yaml.place(['bends'], 'key'),
      `${bends.length} bends and ${sides} words for left and right are more than a scale needs`,
      'a crew tells some ten bends apart',
    );
    return null;
  }
  const words = new Words(yaml, faults);
  for (const [side, key, plainWords] of [
    [1, 'left', ['left', 'l']],
    [-1, 'right', ['right', 'r']],
  ] as const) {
    for (const [i, word] of (read[key] ?? plainWords).entries()) {
      words.add(word, { is: 'side', side }, [key, i]);
      // Crews write L4 and 4L for left 4.
      for (const b of bends)
        for (const joined of [`${word}${b.name}`, `${b.name}${word}`])
          words.addJoined(joined, { is: 'bend', bend: b, side });
    }
  }
  for (const b of bends) words.add(b.name, { is: 'bend', bend: b, side: null }, ['bends', b.name]);
  for (const [name, { turn, end, over, through, length }] of read.modifiers ?? []) {
    const modifier: ModifierMeaning = {
      name,
      turn: turn ?? null,
      end: end ?? null,
      over: over ?? null,
      through: through ?? null,
      length: length ?? 0,
    };
    words.add(name, { is: 'modifier', modifier }, ['modifiers', name]);
  }
  for (const [i, word] of (read.finish ?? ['finish']).entries())
    words.add(word, { is: 'finish' }, ['finish', i]);
  for (const [i, word] of (read.ignore ?? []).entries()) words.add(word, { is: 'nothing' }, ['ignore', i]);
  const numbers = numberOrder(bends, yaml, faults);
  const phrases = words.phrases();
  bends.sort((a, b) => a.radius[0] - b.radius[0] || a.radius[1] - b.radius[1]);
  return {
    name: read.scale!,
    file: yaml.source.file,
    easing: read.easing ?? EASING,
    bends,
    numbers,
    phrases,
    longest: Math.max(...Array.from(phrases.keys(), (phrase) => phrase.split(' ').length)),
  };
}

/** Bends times words for the sides: each pair makes words such as L4. A bound, far above any crew's. No source. */
const MOST_JOINED = 10_000;

/** Collects what words mean; a word that means two things is reported. */
class Words {
  readonly #yaml: YamlFile;
  readonly #faults: Faults;
  readonly #own = new Map<string, Meaning>();
  readonly #joined = new Map<string, Meaning>();

  constructor(yaml: YamlFile, faults: Faults) {
    this.#yaml = yaml;
    this.#faults = faults;
  }

  add(word: string, meaning: Meaning, at: readonly (string | number)[]): void {
    const plainWord = phraseOf(word);
    if (this.#own.has(plainWord)) {
      this.#faults.error(
        'scale/word',
        this.#yaml.place(at, 'key'),
        `the word ${plainWord} has a meaning already`,
        'each word means one thing: a side, a bend, a modifier, the finish or nothing',
      );
    }
    this.#own.set(plainWord, meaning);
  }

  addJoined(word: string, meaning: Meaning): void {
    this.#joined.set(phraseOf(word), meaning);
  }

  phrases(): Map<string, Meaning> {
    return new Map([...this.#joined, ...this.#own]); // a word of its own wins over one that is put together
  }
}

/** Words of a call or phrase: in lower case, without the marks that part them. */
export const wordsOf = (call: string): string[] =>
  Array.from(call.toLowerCase().matchAll(WORD), ([word]) => word);

/** A word of a call. */
export const WORD = /[^\s,;/"]+/g;

const phraseOf = (text: string) => wordsOf(text).join(' ');

/** Which way the numbers run. Numbers that run neither way are warned of: one is likely a slip. */
function numberOrder(
  bends: readonly BendMeaning[],
  yaml: YamlFile,
  faults: Faults,
): PaceNoteScale['numbers'] {
  const numbered = bends
    .filter(({ name }) => /^\d+$/.test(name))
    .sort((a, b) => Number(a.name) - Number(b.name));
  if (numbered.length < 2) return null;
  const middle = ({ radius: [tight, wide] }: BendMeaning) => Math.sqrt(tight * wide);
  const rises = numbered.slice(1).map((b, i) => middle(b) > middle(numbered[i]));
  const up = rises.filter((rise) => rise).length * 2 > rises.length;
  for (const [i, rise] of rises.entries()) {
    if (rise === up) continue;
    faults.warning(
      'scale/order',
      yaml.place(['bends', numbered[i + 1].name], 'key'),
      `bend ${numbered[i + 1].name} is ${up ? 'not wider' : 'not tighter'} than ${numbered[i].name}, against the order of the other numbers`,
      'the radii stand as written',
    );
  }
  const [first, last] = [numbered[0].name, numbered[numbered.length - 1].name];
  return up ? { tightest: first, gentlest: last } : { tightest: last, gentlest: first };
}
