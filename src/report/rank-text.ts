/** A ranking for people: the table, then where and why each gain is made; at most 100 columns. */
import { escaped } from '../input/render-diagnostic.ts';
import { HELD_BY, type HeldBy } from '../sim/workspace.ts';
import { type Gain, INTERVAL, type Ranking, TOLD_APART } from '../study/rank.ts';
import { gainByCondition, gainByLoop, gainBySector } from '../study/split-gain.ts';
import type { Study } from '../study/study.ts';
import { flipWords } from '../study/whole-cars.ts';
import { wrapped } from './forecast-text.ts';
import { clock, km } from './numbers.ts';
import { closing, fitted, overview, percent, seconds } from './study-text.ts';

const HELD_NAME: Readonly<Record<HeldBy, string>> = {
  bend: 'bend grip',
  traction: 'traction',
  drive: 'drive',
  brakeGrip: 'brake grip',
  brakeForce: 'brake force',
  limiter: 'limiter',
  shift: 'shifts',
  air: 'in the air',
};

/** Attributes that get a column. */
const COLUMNS = 3;
const NAME = 27;

export function rankText(study: Study, ranking: Ranking): string {
  const { gains, draws } = ranking;
  const title = `${escaped(study.event.name)}: what each change is worth alone`;
  const lines = [title, '-'.repeat(Math.min(100, title.length)), ...overview(study)];
  lines.push(`The car as it stands: ${clock(ranking.baseTime)} expected. A gain of + is faster.`, '');
  lines.push(...table(ranking), '');
  lines.push(...tieLines(ranking));
  if (draws > 0)
    lines.push(
      ...wrapped('', [
        `${percent(INTERVAL)} of ${draws} draws from what the event calls uncertain lie between the two bounds; each draw meets the car with and without the change. Chance: share of the draws in which it gains at all.`,
      ]),
      '',
    );
  else
    lines.push(
      ...wrapped('', [
        study.event.uncertain.length === 0
          ? 'The event states nothing as `uncertain`, so it is not known how sure these gains are.'
          : 'No draws were asked for, so it is not known how sure these gains are.',
      ]),
      '',
    );
  lines.push(
    ...wrapped('', [
      'Below, each gain split by what held the car (a minus: more time is then spent held so), by loop, condition and sector, and the stretches where most of it is made, expected over the conditions.',
    ]),
    '',
  );
  for (const [i, gain] of gains.entries()) lines.push(...detail(study, gain, i + 1), '');
  if (ranking.pairs !== null) lines.push(...pairLines(ranking), '');
  const flips = flipWords(study);
  if (flips.length > 0) lines.push(...wrapped('Surface: ', flips), '');
  const assumptions = (study.event.changes?.changes ?? []).flatMap(({ assumption }) => assumption ?? []);
  lines.push(...closing(study, assumptions));
  return `${lines.join('\n')}\n`;
}

function table({ gains, draws }: Ranking): string[] {
  const all = [...new Set(gains.flatMap(({ takes }) => [...takes.keys()]))];
  // What money buys comes first, where it is counted; gains are set against the first.
  const names = [...all.filter((name) => name === 'cost'), ...all.filter((name) => name !== 'cost')];
  names.splice(COLUMNS);
  const priced = names[0];
  const head = ['', `  #  ${fitted('change', NAME)}`, 'gain'.padStart(8)];
  const cells = (columns: readonly string[]) => columns.join('').trimEnd();
  const header = cells([
    ...head.slice(1),
    ...(draws > 0 ? ['from'.padStart(8), 'to'.padStart(8), 'chance'.padStart(8)] : []),
    'mass'.padStart(7),
    ...names.map((name) => heading(name)),
    ...(priced === undefined ? [] : ['s/1000'.padStart(8)]),
  ]);
  const units = cells([
    ' '.repeat(5 + NAME),
    's'.padStart(8),
    ...(draws > 0 ? ['s'.padStart(8), 's'.padStart(8), ' '.repeat(8)] : []),
    'kg'.padStart(7),
    ...names.map(() => ' '.repeat(8)),
    ...(priced === undefined ? [] : [heading(priced)]),
  ]);
  const rows = gains.map((gain, i) => {
    const { interval, chance, takes, mass } = gain;
    const cost = priced === undefined ? 0 : (takes.get(priced) ?? 0);
    return cells([
      `${String(i + 1).padStart(3)}  ${fitted(gain.name, NAME)}`,
      (gain.fault !== null ? 'none' : seconds(gain.gain)).padStart(8),
      ...(interval === null
        ? []
        : [seconds(interval[0]).padStart(8), seconds(interval[1]).padStart(8), percent(chance!).padStart(8)]),
      (Number.isFinite(mass) ? mass.toFixed(0) : '').padStart(7),
      ...names.map((name) => (takes.has(name) ? String(takes.get(name)) : '').padStart(8)),
      ...(priced === undefined
        ? []
        : [(cost > 0 && Number.isFinite(gain.gain) ? seconds((1000 * gain.gain) / cost) : '').padStart(8)]),
      gain.breaks.length > 0 ? ' !' : '',
    ]);
  });
  const broken = gains.filter(({ breaks }) => breaks.length > 0);
  const notes = broken.map(
    ({ name, breaks }) => `  ! ${escaped(name)} alone breaks: ${breaks.map(escaped).join(', ')}`,
  );
  const faults = gains.filter(({ fault }) => fault !== null);
  for (const { name, fault } of faults) notes.push(`  ${escaped(name)}: ${escaped(fault!)}`);
  return [header, units, ...rows, ...notes];
}

const heading = (name: string) => fitted(name, 7).trimEnd().padStart(8);

/** Which changes cannot be told apart: runs of places in which no two can, then the pairs that are left. */
function tieLines({ gains, ties }: Ranking): string[] {
  if (ties === null || gains.length < 2) return [];
  const sure = percent(TOLD_APART);
  if (ties.length === 0)
    return [`The order of each two is sure: the better one is so in ${sure} of the draws.`, ''];
  const tied = new Set(ties.map(([a, b]) => `${a} ${b}`));
  const runs: { from: number; to: number }[] = [];
  for (let from = 0, to = 0; from < gains.length; from++) {
    const before = to;
    to = Math.max(to, from);
    while (to + 1 < gains.length && everyTied(tied, from, to)) to++;
    if (to > from && to > before) runs.push({ from, to });
  }
  const words = runs.map(({ from, to }) =>
    to === from + 1 ? `${from + 1} and ${to + 1}` : `any two of ${from + 1} to ${to + 1}`,
  );
  for (const [a, b] of ties)
    if (!runs.some(({ from, to }) => from <= a && b <= to)) words.push(`${a + 1} and ${b + 1}`);
  return [
    ...wrapped('Cannot be told apart: ', [
      `${words.join('; ')}. The one is better than the other in under ${sure} of the draws; the order of all others is sure.`,
    ]),
    '',
  ];
}

/** Whether each place from the first to the last is tied with the one after the last. */
function everyTied(tied: ReadonlySet<string>, from: number, last: number): boolean {
  for (let i = from; i <= last; i++) if (!tied.has(`${i} ${last + 1}`)) return false;
  return true;
}

function detail(study: Study, gain: Gain, number: number): string[] {
  const head = `${String(number).padStart(3)}  ${escaped(gain.name)}   ${gain.fault === null ? `${seconds(gain.gain)}${gain.gain === Number.NEGATIVE_INFINITY ? '' : ' s'}` : 'cannot be built'}`;
  if (!Number.isFinite(gain.gain)) return [head];
  const lines = [head];
  const why = HELD_BY.map((name, h) => ({ name, x: gain.why[h] })).filter(({ x }) => Math.abs(x) >= 0.005);
  why.sort((a, b) => Math.abs(b.x) - Math.abs(a.x));
  const parts = why.map(({ name, x }) => `${HELD_NAME[name]} ${seconds(x)}`);
  lines.push(...entry('held by', parts.length > 0 ? parts.join(', ') : 'no part of 0.01 s or more'));
  const split = splitWords(study, gain);
  if (split !== '') lines.push(...entry('split', split));
  lines.push(...entry('sectors', sectorWords(study, gain)));
  const most = gain.stretches.filter(({ gain: x }) => Math.abs(x) >= 0.005);
  if (most.length > 0)
    lines.push(
      ...entry(
        'most in',
        most
          .map(
            ({ stage, from, to, gain: x }) =>
              `${escaped(stage)} km ${km(from, 1)}-${km(to, 1)} ${seconds(x)}`,
          )
          .join('; '),
      ),
    );
  return lines;
}

/** Expected gain of each loop, and the gain were a condition there for certain. */
function splitWords(study: Study, gain: Gain): string {
  const loops = gainByLoop(study, gain);
  const conditions = gainByCondition(study, gain);
  const list = (sums: ReadonlyMap<string | null, number>) =>
    [...sums].map(([name, x]) => `${escaped(name ?? '')} ${seconds(x)}`).join(', ');
  return [
    loops.size > 1 ? list(loops) : '',
    conditions.size > 1 ? `were it certain: ${list(conditions)}` : '',
  ]
    .filter((part) => part !== '')
    .join('; ');
}

/** Expected gain of each sector, stage by stage. */
function sectorWords(study: Study, gain: Gain): string {
  return gainBySector(study, gain)
    .map(({ stage, sectors }) => `${escaped(stage)} ${sectors.map((x) => seconds(x)).join(' ')}`)
    .join('; ');
}

function entry(label: string, text: string): string[] {
  return wrapped(`     ${label.padEnd(9)}`, [text]);
}

function pairLines({ pairs, gains }: Ranking): string[] {
  const told = pairs!.filter(({ more }) => Math.abs(more) >= 0.01);
  const lines = ['Two together, s beyond the sum of each alone (+ they help, − they hinder each other):'];
  if (told.length === 0) return [...lines, '  no two changes help or hinder each other by 0.01 s or more'];
  for (const { a, b, gain, more } of told.slice(0, 15)) {
    const both = `together ${seconds(gain)}`;
    lines.push(
      `${seconds(more).padStart(8)}  ${fitted(gains[a].name, 30)}  ${fitted(gains[b].name, 30)}  ${both}`,
    );
  }
  if (told.length > 15) lines.push(`  and ${told.length - 15} more pairs of 0.01 s or more`);
  return lines;
}
