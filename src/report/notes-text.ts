/** What pace notes were read as, for people: at most 100 columns. */
import { escaped } from '../input/render-diagnostic.ts';
import { RADII, type Radii, radiusOf, type Shortened } from '../track/pace-notes.ts';
import type { CallList } from '../track/pace-notes-calls.ts';
import type { BendMeaning, PaceNoteScale } from '../track/pace-notes-scale.ts';
import { CAUTION, wrapped } from './forecast-text.ts';
import { clock, km } from './numbers.ts';

export interface NotesReport {
  readonly name: string;
  readonly list: CallList;
  readonly scale: PaceNoteScale;
  readonly radii: Radii; //                                      written to the files
  readonly shortened: readonly Shortened[];
  readonly car: string;
  readonly times: Readonly<Record<Radii, number | null>>; //      [s]; null: the car cannot finish
  readonly wrote: readonly string[];
}

const SHORTENED_SHOWN = 8;

export function notesText(report: NotesReport): string {
  const { name, list, scale, radii, wrote } = report;
  const bends = list.calls.filter((call) => call.bend !== null).length;
  const title = `${escaped(name)}   ${km(list.finish)} km, ${list.calls.length} calls, ${bends} bends`;
  const lines = [title, '-'.repeat(Math.min(100, title.length))];
  lines.push(`Scale "${escaped(scale.name)}" of ${escaped(scale.file)}${order(scale)}.`);
  lines.push(
    `Radii of the files: ${radii === 'middle' ? 'the middle' : `the ${radii} end`} of each range.`,
    '',
  );
  lines.push(...bendLines(report), ...crestLines(report), ...shortenedLines(report.shortened), '');
  lines.push(...timeLines(report));
  if (wrote.length > 0) lines.push('', `wrote ${wrote.map(escaped).join(', ')}`);
  lines.push('', ...wrapped('', [CAUTION]));
  return `${lines.join('\n')}\n`;
}

const order = ({ numbers }: PaceNoteScale) =>
  numbers === null ? '' : `: ${numbers.tightest} is the tightest, ${numbers.gentlest} the gentlest`;

function bendLines({ list, scale, radii }: NotesReport): string[] {
  const count = (bend: BendMeaning) =>
    list.calls.filter((call) => call.bend?.bend === bend || call.bend?.end === bend).length;
  const used = scale.bends.filter((bend) => count(bend) > 0);
  if (used.length === 0) return ['No bend is called.'];
  const width = Math.max(6, ...used.map((bend) => bend.name.length));
  return [
    `  ${'bend'.padEnd(width)}   calls   radius, m        taken, m   turn, deg`,
    ...used.map((bend) => {
      const [tight, wide] = bend.radius;
      return [
        `  ${escaped(bend.name).padEnd(width)}`,
        String(count(bend)).padStart(8),
        `   ${`${round(tight)} to ${round(wide)}`.padEnd(14)}`,
        round(radiusOf(bend.radius, radii)).padStart(11),
        round((bend.turn * 180) / Math.PI).padStart(12),
      ].join('');
    }),
  ];
}

function crestLines({ list, radii }: NotesReport): string[] {
  const modifiers = new Set(list.calls.map((call) => call.crest).filter((crest) => crest !== null));
  return [...modifiers].map((modifier) => {
    const range = (modifier.over ?? modifier.through)!;
    const count = list.calls.filter((call) => call.crest === modifier).length;
    return `  ${escaped(modifier.name)}: ${count} called, ${round(range[0])} to ${round(range[1])} m in side view, ${round(radiusOf(range, radii))} m taken, ${round(modifier.length)} m long`;
  });
}

function shortenedLines(shortened: readonly Shortened[]): string[] {
  if (shortened.length === 0) return [];
  const lines = [
    '',
    'Cut short to fit before the next call (is the turn or the length of the scale too much?):',
  ];
  for (const { call, wanted, given } of shortened.slice(0, SHORTENED_SHOWN)) {
    const what = given === 0 ? 'left out' : `${round(given)} of ${round(wanted)} m`;
    lines.push(`  km ${km(call.at, 3)}  ${escaped(call.text.slice(0, 50))}: ${what}`);
  }
  const more = shortened.length - SHORTENED_SHOWN;
  if (more > 0) lines.push(`  and ${more} more`);
  return lines;
}

function timeLines({ car, times }: NotesReport): string[] {
  const lines = [`Time of ${escaped(car)}, with every radius at the same place in its range:`];
  for (const radii of RADII) {
    const time = times[radii];
    lines.push(`  ${radii.padEnd(6)}  ${time === null ? 'cannot finish' : clock(time)}`);
  }
  const { tight, middle, wide } = times;
  if (tight === null || middle === null || wide === null) return lines;
  const late = tight - middle;
  const early = middle - wide;
  lines.push(
    `The notes alone leave ${(late + early).toFixed(1)} s open: +${late.toFixed(1)} to -${early.toFixed(1)} s about the middle. A surveyed road`,
    'is surer (splitcast survey); differences between set-ups are surer than the time.',
  );
  return lines;
}

const round = (x: number): string => String(Number(x.toPrecision(3)));
