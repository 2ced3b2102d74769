/** The settings of a chosen set-up: what may be moved unnoticed, what does not matter, and which lean on each other. */
import type { Evaluate, SetUp } from './set-up.ts';
import type { Study } from './study.ts';
import { totalTime } from './totals.ts';
import { numberOf, UNNOTICED } from './vary.ts';

export interface SettingWord {
  readonly path: string;
  readonly label: string; //       of the best option
  readonly unit: string;
  readonly from: number; //        between these less than UNNOTICED is lost, by the straight line between what was tried
  readonly to: number;
  readonly openBelow: boolean; //  the range ends before so much is lost
  readonly openAbove: boolean;
  readonly most: number; //        greatest loss over the whole range [s]; under UNNOTICED: it does not matter
  readonly gains: boolean; //      another option of the range is better alone: the search did not end at the top
}

/** Two settings whose best values depend on each other. */
export interface Lean {
  readonly a: string;
  readonly b: string;
  /** Time of moving both beyond the sum of moving either [s]: positive, they should not be moved that way together. */
  readonly beyond: number;
}

// Options that are tried of a range; between them the loss is taken as straight. No source.
const TRIED = 13;
/** Leanings under this are not worth a line [s]. No source. */
const WORTH_SAYING = 0.02;

export async function settingsOf(
  study: Study,
  evaluate: Evaluate,
  best: SetUp,
): Promise<{ readonly words: readonly SettingWord[]; readonly leans: readonly Lean[] }> {
  const { settings } = study.event.changes!;
  if (settings.length === 0 || best.settings.length === 0) return { words: [], leans: [] };
  const places = settings.map(({ options }, d) => options.indexOf(best.settings[d][1]));
  const moved = (moves: readonly (readonly [number, number])[]): SetUp => ({
    ...best,
    settings: best.settings.map((setting, d) => {
      const move = moves.find(([which]) => which === d);
      return move === undefined ? setting : ([setting[0], settings[d].options[move[1]]] as const);
    }),
  });
  const along = settings.flatMap(({ options }, d) =>
    triedOptions(options.length, places[d]).map((k) => [d, k] as const),
  );
  // A quarter of the range, to the side where there is more room.
  const steps = settings.map(({ options }, d) => {
    const step = Math.max(1, Math.round(options.length / 4));
    return places[d] + step < options.length ? places[d] + step : Math.max(0, places[d] - step);
  });
  const pairs = settings
    .flatMap((_, a) => settings.slice(a + 1).map((_, k) => [a, a + 1 + k] as const))
    .filter(([a, b]) => steps[a] !== places[a] && steps[b] !== places[b]);
  const setUps = [
    best,
    ...along.map((move) => moved([move])),
    ...settings.map((_, d) => moved([[d, steps[d]]])),
    ...pairs.map(([a, b]) =>
      moved([
        [a, steps[a]],
        [b, steps[b]],
      ]),
    ),
  ];
  const times = (await evaluate(setUps)).map((outcome) =>
    outcome.fault === null ? totalTime(study, outcome) : Number.POSITIVE_INFINITY,
  );
  const [time] = times;
  const words = settings.map(({ name, options, labels }, d) => {
    const line = along.flatMap(([which, k], i) =>
      which === d ? [{ k, x: numberOf(options[k]).x, loss: times[1 + i] - time }] : [],
    );
    return wordOf(name, numberOf(options[0]).unit, labels[places[d]], line, places[d]);
  });
  const alone = 1 + along.length;
  const leans = pairs
    .map(([a, b], i): Lean => {
      const both = times[alone + settings.length + i];
      return {
        a: settings[a].name,
        b: settings[b].name,
        beyond: both - times[alone + a] - times[alone + b] + time,
      };
    })
    .filter(({ beyond }) => Number.isFinite(beyond) && Math.abs(beyond) >= WORTH_SAYING)
    .sort((x, y) => Math.abs(y.beyond) - Math.abs(x.beyond));
  return { words, leans };
}

/** Options to try: the ends, some between, and those next to the best. */
function triedOptions(size: number, best: number): number[] {
  const some = new Set([best - 2, best - 1, best, best + 1, best + 2, 0, size - 1]);
  for (let i = 0; i < TRIED; i++) some.add(Math.round((i * (size - 1)) / (TRIED - 1)));
  return [...some].filter((k) => k >= 0 && k < size).sort((a, b) => a - b);
}

interface Step {
  readonly k: number;
  readonly x: number;
  readonly loss: number; // [s]
}

function wordOf(path: string, unit: string, label: string, line: readonly Step[], best: number): SettingWord {
  const here = line.findIndex(({ k }) => k === best);
  const end = (step: 1 | -1): { readonly x: number; readonly open: boolean } => {
    let i = here;
    for (; line[i + step] !== undefined; i += step) {
      const [a, b] = [line[i], line[i + step]];
      if (b.loss <= UNNOTICED) continue;
      const share = Number.isFinite(b.loss) ? (UNNOTICED - a.loss) / (b.loss - a.loss) : 0;
      return { x: a.x + share * (b.x - a.x), open: false };
    }
    return { x: line[i].x, open: true };
  };
  const below = end(-1);
  const above = end(1);
  return {
    path,
    label,
    unit,
    from: below.x,
    to: above.x,
    openBelow: below.open,
    openAbove: above.open,
    most: Math.max(...line.map(({ loss }) => loss)),
    gains: line.some(({ loss }) => loss < -1e-9),
  };
}
