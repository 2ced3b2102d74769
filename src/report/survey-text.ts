/** What a survey found, for people: at most 100 columns. */
import { escaped } from '../input/render-diagnostic.ts';
import type { RoadSpread } from '../study/road-spread.ts';
import type { RoadTable } from '../track/road-table.ts';
import { BEND_CLASSES, classRange, findBends } from '../track/survey/bends.ts';
import type { Surveyed } from '../track/survey/survey.ts';
import { CAUTION } from './forecast-text.ts';
import { clock, km } from './numbers.ts';

export interface SurveyReport {
  readonly name: string;
  readonly surveyed: Surveyed;
  readonly road: RoadTable; //                     as written: on the line that was asked for
  readonly line: string; //                        one sentence: which line the road follows
  readonly car: string; //                         name of the car that was timed
  readonly spread: RoadSpread | null; //           null where the data carry no forecast
  readonly wrote: readonly string[]; //            files, in the order of writing
}

/** Sentences on what was mended that are printed. */
const MOST_MENDED = 10;
const WIDTH = 98;
const INDENT = 11;

export function surveyText(report: SurveyReport): string {
  const { name, surveyed, spread, wrote } = report;
  const { fit, used, remarks } = surveyed;
  const { found } = fit;
  const title = `${escaped(name)}   ${km(report.road.s[report.road.s.length - 1])} km, ${found.heights === 'none' ? 'no heights' : `${found.climb.toFixed(0)} m of climb`}`;
  const lines = [title, '-'.repeat(Math.min(100, title.length))];
  const say = (label: string, text: string) => lines.push(...entry(label, text));

  for (const [k, { number, recording, turned }] of used.entries()) {
    const called = recording.name === '' ? '' : ` "${escaped(recording.name.slice(0, 40))}"`;
    const part = `${recording.what} ${number}${called}, ${recording.east.length} points${turned ? ', turned round' : ''}`;
    say(k === 0 ? 'From' : '', `${escaped(recording.place.file)}: ${part}`);
  }
  say(
    'Points',
    `${found.pointCount} used, ${metres(found.spacing)} apart (median); longest way without one ${metres(found.largestGap)}`,
  );
  say('Noise', noiseOf(report));
  say('Resolves', resolvesOf(report));
  say('Line', report.line);
  say('Bends', bendsOf(report.road));
  say('Tightest', tightestOf(report.road));
  say(
    'Steepest',
    found.heights === 'none'
      ? 'not known: no heights were recorded, the road is taken as level'
      : `${percent(found.steepest.grade)} at km ${km(found.steepest.at, 3)}`,
  );
  const mended = [...found.mended, ...remarks];
  if (mended.length > MOST_MENDED)
    mended.splice(MOST_MENDED - 1, Infinity, `And ${mended.length - MOST_MENDED + 1} more like these.`);
  for (const [k, sentence] of mended.entries()) say(k === 0 ? 'Mended' : '', escaped(sentence));
  if (spread !== null) say('Time', timeOf(report, spread));
  const doubt = spread === null ? null : doubtOf(spread);
  if (doubt !== null) say('', doubt);
  if (wrote.length > 0) lines.push('', `wrote ${wrote.map(escaped).join(', ')}`);
  lines.push('', ...wrap(CAUTION, WIDTH));
  return `${lines.join('\n')}\n`;
}

function noiseOf({ surveyed }: SurveyReport): string {
  const { noiseAcross, noiseAlong, noiseHeight, correlationLength, passOffset } = surveyed.fit.found;
  const parts = [`${noiseAcross.toFixed(2)} m across`];
  parts.push(noiseAlong === null ? 'not known along' : `${noiseAlong.toFixed(2)} m along`);
  if (noiseHeight !== null) parts.push(`${noiseHeight.toFixed(2)} m in height`);
  const wander = correlationLength > 0 ? `; it wanders over ${correlationLength.toFixed(0)} m` : '';
  const offset = passOffset === null ? '' : `; passes lie ${passOffset.toFixed(2)} m apart to the side`;
  return `${parts.join(', ')} (standard deviation of one point)${wander}${offset}`;
}

function bendsOf(road: RoadTable): string {
  const bends = findBends(road);
  const parts = BEND_CLASSES.map(({ name }, k) => {
    const count = bends.filter((bend) => bend.class === k).length;
    return `${count} ${name} (${classRange(k)})`;
  });
  return parts.join(', ');
}

function resolvesOf({ road, surveyed }: SurveyReport): string {
  const { resolvable } = surveyed.fit.found;
  const bends = findBends(road);
  const tighter = bends.filter(({ radius }) => radius < resolvable).length;
  const which =
    tighter === 0
      ? 'no bend here is tighter'
      : `${tighter} of ${bends.length} bends are tighter, and may be wrong`;
  return `bends of ${resolvable.toFixed(0)} m radius and more to 10 %; ${which}`;
}

// What a set-up change is worth is often less than this. No source.
const SURE = 0.02;

/** What to say where the points leave much open; null where they do not. */
function doubtOf({ time, low, high, draws, finished }: RoadSpread): string | null {
  const again = 'Record the road again with 10 points a second, and average three drives.';
  if (time === null || finished < draws) return `The points do not carry a forecast. ${again}`;
  if (high - low > 2 * SURE * time)
    return `The points leave much open: compare no set-ups on this road. ${again}`;
  return null;
}

function tightestOf({ s, curvature }: RoadTable): string {
  let at = 0;
  for (let i = 1; i < s.length; i++) if (Math.abs(curvature[i]) > Math.abs(curvature[at])) at = i;
  const radius = Math.abs(1 / curvature[at]);
  return radius < Infinity
    ? `radius ${metres(radius)} at km ${km(s[at], 3)}`
    : 'nowhere: the road is straight';
}

function timeOf({ car }: SurveyReport, { time, low, high, draws, finished }: RoadSpread): string {
  const who = `${escaped(car)}: `;
  if (time === null || finished === 0) return `${who}cannot finish on this road`;
  const failed = finished < draws ? ` (it cannot finish on ${draws - finished} of them)` : '';
  const range =
    high === Infinity
      ? `is over ${clock(low)} in 19 of 20 cases`
      : `lies between ${clock(low)} and ${clock(high)}, ± ${((100 * (high - low)) / 2 / time).toFixed(1)} %, in 9 of 10 cases`;
  return `${who}${clock(time)}; by ${draws} roads that fit the points as well${failed}, the time on the true road ${range}`;
}

const metres = (x: number) => (x < 10 ? `${x.toFixed(1)} m` : `${x.toFixed(0)} m`);
const percent = (grade: number) => `${(100 * grade).toFixed(1)} %`;

function entry(label: string, text: string): string[] {
  return wrap(text, WIDTH - INDENT).map((line, k) => `${(k === 0 ? label : '').padEnd(INDENT)}${line}`);
}

function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line += line === '' ? word : ` ${word}`;
  }
  return [...lines, line];
}
