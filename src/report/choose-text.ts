/** The best set of changes and settings, for people: at most 100 columns. */
import { escaped } from '../input/render-diagnostic.ts';
import type { Chosen, Tried } from '../study/choose.ts';
import { loopTime } from '../study/choose.ts';
import type { FreeRatios } from '../study/free-ratios.ts';
import type { Lean, SettingWord } from '../study/settings.ts';
import type { Study } from '../study/study.ts';
import { totalTime } from '../study/totals.ts';
import { UNNOTICED } from '../study/vary.ts';
import { wrapped } from './forecast-text.ts';
import { clock } from './numbers.ts';
import { closing, fitted, overview, seconds } from './study-text.ts';

export interface ChooseReport {
  readonly chosen: Chosen;
  readonly words: readonly SettingWord[];
  readonly leans: readonly Lean[];
  readonly free: FreeRatios | null;
  readonly flips: readonly string[];
}

export function chooseText(study: Study, report: ChooseReport): string {
  const { chosen } = report;
  const { best, base } = chosen;
  const title = `${escaped(study.event.name)}: what to fit`;
  const lines = [title, '-'.repeat(Math.min(100, title.length)), ...overview(study)];
  lines.push(
    `The car as it stands: ${clock(base.time)} expected${base.broken.length > 0 ? `; it breaks ${base.broken.map(escaped).join(', ')}` : ''}.`,
    '',
  );
  if (best === null) {
    lines.push(...wrapped('', ['Nothing that was tried keeps all limits.']), '');
    lines.push(...howLines(chosen), '', ...closing(study));
    return `${lines.join('\n')}\n`;
  }
  lines.push(...wrapped('Fit: ', [fitWords(study, best)]));
  lines.push(
    ...wrapped('     ', [
      `${clock(best.time)} expected, ${seconds(base.time - best.time)} s.${limitWords(study, best)}`,
    ]),
    '',
  );
  lines.push(...howLines(chosen), '');
  if (report.words.length > 0) lines.push(...settingLines(report.words, report.leans), '');
  if (chosen.runnersUp.length > 0) {
    lines.push('Runners-up, s behind:');
    for (const tried of chosen.runnersUp)
      lines.push(
        ...wrapped(`  ${seconds(tried.time - best.time).padStart(7)}  `, [changeWords(study, tried)]),
      );
    lines.push('');
  }
  if (chosen.prices.length > 0) lines.push(...priceLines(study, chosen), '');
  if (chosen.leastRegret !== null) lines.push(...weatherLines(study, chosen), '');
  if (chosen.byLoop.length > 0) lines.push(...loopLines(study, chosen, best), '');
  if (report.free !== null) lines.push(...freeLines(report.free), '');
  if (report.flips.length > 0) lines.push(...wrapped('Surface: ', report.flips), '');
  const assumptions = best.setUp.changes.flatMap((i) => study.event.changes!.changes[i].assumption ?? []);
  lines.push(...closing(study, assumptions));
  return `${lines.join('\n')}\n`;
}

function changeWords(study: Study, { setUp }: Tried): string {
  const names = setUp.changes.map((i) => study.event.changes!.changes[i].name);
  return names.length > 0 ? names.map(escaped).join(' + ') : 'no change';
}

/** How many settings are named where two set-ups differ in many. */
const NAMED = 5;

/** What another set-up has that the choice has not: its changes, and the settings that differ. */
function against(study: Study, tried: Tried, best: Tried): string {
  const settings = tried.setUp.settings.flatMap(([path, value], d) => {
    if (best.setUp.settings[d]?.[1] === value) return [];
    const { options, labels } = study.event.changes!.settings[d];
    return [`${escaped(path)} ${escaped(labels[options.indexOf(value)])}`];
  });
  const same = tried.setUp.changes.join() === best.setUp.changes.join();
  const more = settings.length > NAMED ? ` and ${settings.length - NAMED} more settings` : '';
  const moved = `${settings.slice(0, NAMED).join(', ')}${more}`;
  if (settings.length === 0) return changeWords(study, tried);
  return same ? `the same changes with ${moved}` : `${changeWords(study, tried)}, with ${moved}`;
}

function fitWords(study: Study, tried: Tried): string {
  const settings = tried.setUp.settings.map(([path, value], d) => {
    const { options, labels } = study.event.changes!.settings[d];
    return `${escaped(path)} ${escaped(labels[options.indexOf(value)])}`;
  });
  const changes = changeWords(study, tried);
  return settings.length > 0 ? `${changes}; set ${settings.join(', ')}.` : `${changes}.`;
}

/** How much of each limit is used. */
function limitWords(study: Study, tried: Tried): string {
  const parts = study.event.limits.map(({ name, least, most }) => {
    const used =
      name === 'mass'
        ? `${tried.outcome.mass.toFixed(0)} kg`
        : name === 'power_to_mass'
          ? `${tried.outcome.powerToMass.toFixed(1)} W/kg`
          : String(Number(study.taken(tried.setUp, name).toPrecision(12)));
    const bounds = [least === null ? null : `at least ${least}`, most === null ? null : `at most ${most}`];
    return `${escaped(name)} ${used} (${bounds.filter((bound) => bound !== null).join(', ')})`;
  });
  return parts.length > 0 ? ` Limits: ${parts.join('; ')}.` : '';
}

function howLines({ exact, count, tried, chains, cannotBe }: Chosen): string[] {
  const sentences: string[] = [];
  if (exact)
    sentences.push(
      `All ${count} combinations were looked at and ${tried} timed, so this is the best there is of them.`,
    );
  else {
    const ended = chains.filter((time) => Number.isFinite(time));
    sentences.push(
      `Of ${count.toLocaleString('en').replaceAll(',', ' ')} combinations ${tried} were timed, by a variable neighbourhood search (Hansen & Mladenović 2001) from ${chains.length} starts. The others were not looked at: a better one may be among them.`,
    );
    if (ended.length > 1) {
      const spread = Math.max(...ended) - Math.min(...ended);
      const within = ended.filter((time) => time - Math.min(...ended) < UNNOTICED).length;
      sentences.push(
        `The ${ended.length} starts ended within ${spread.toFixed(3)} s of each other, ${within} of them within ${UNNOTICED} s of the best; the true best may be off by as much, or more.`,
      );
    }
  }
  if (cannotBe > 0)
    sentences.push(`${cannotBe} combinations were left out, since their values do not go together.`);
  return wrapped('How sure: ', sentences);
}

function settingLines(words: readonly SettingWord[], leans: readonly Lean[]): string[] {
  const number = (x: number) => String(Number(x.toPrecision(4)));
  const lines = [`${fitted('setting', 34)}${'best'.padStart(12)}   under ${UNNOTICED} s lost`];
  for (const { path, label, unit, from, to, openBelow, openAbove, most, gains } of words) {
    const tail = unit === '' ? '' : ` ${unit}`;
    const span =
      most < UNNOTICED && most > -UNNOTICED
        ? `does not matter: ${Math.max(0, most).toFixed(3)} s at most over its range`
        : `${openBelow ? '(end) ' : ''}${number(from)} to ${number(to)}${tail}${openAbove ? ' (end)' : ''}; at worst ${most === Number.POSITIVE_INFINITY ? 'the car cannot go' : `${seconds(most)} s`}`;
    lines.push(
      `${fitted(path, 34)}${escaped(label).padStart(12)}   ${span}${gains ? ' *' : ''}`.slice(0, 100),
    );
  }
  if (words.some(({ gains }) => gains))
    lines.push('  * another value of the range is a little faster but breaks a limit, or was not found');
  if (leans.length === 0) lines.push('No two settings lean on each other by 0.02 s or more.');
  for (const { a, b, beyond } of leans.slice(0, 6))
    lines.push(
      ...wrapped('  ', [
        `${a} and ${b} lean on each other: moved together by a quarter of their ranges they are ${Math.abs(beyond).toFixed(2)} s ${beyond > 0 ? 'slower' : 'faster'} than each alone adds up to.`,
      ]),
    );
  return lines;
}

function priceLines(study: Study, { prices, best: chosenBest }: Chosen): string[] {
  const lines = ['What each limit costs:'];
  for (const { limit, gain, best } of prices) {
    const unit = limit.name === 'mass' ? ' kg' : limit.name === 'power_to_mass' ? ' W/kg' : '';
    const step = `${Number(limit.step.toPrecision(6))}${unit}`;
    const words =
      gain < 0.005
        ? `${escaped(limit.name)}: nothing would be gained by ${step} more room`
        : `${escaped(limit.name)}: ${step} more room would give ${seconds(gain)} s: ${against(study, best, chosenBest!)}`;
    lines.push(...wrapped('  ', [words]));
  }
  return lines;
}

function weatherLines(study: Study, { byCondition, leastRegret, best }: Chosen): string[] {
  const lines = ['When the weather is not known:'];
  for (const [c, { name }] of study.event.conditions.entries()) {
    const tried = byCondition[c];
    const behind = totalTime(study, best!.outcome, name) - totalTime(study, tried.outcome, name);
    lines.push(
      ...wrapped('  ', [
        `best were it ${escaped(name ?? '')} for certain: ${behind < 0.005 ? 'the choice above' : `${against(study, tried, best!)}; the choice above is ${behind.toFixed(2)} s behind it then`}`,
      ]),
    );
  }
  const { tried, regret, bestsRegret } = leastRegret!;
  const same = tried === best || bestsRegret - regret < 0.005;
  lines.push(
    ...wrapped('  ', [
      same
        ? bestsRegret < 0.005
          ? 'least regret: the choice above, which is the best whatever comes'
          : `least regret: the choice above; whatever comes, it is at most ${bestsRegret.toFixed(2)} s behind the best for it`
        : `least regret: ${against(study, tried, best!)}; whatever comes, at most ${regret.toFixed(2)} s behind the best for it (the choice above: ${bestsRegret.toFixed(2)} s)`,
    ]),
  );
  return lines;
}

function loopLines(study: Study, { byLoop }: Chosen, best: Tried): string[] {
  const lines = ['Were each loop driven alone, the limits as they are:'];
  for (const { loop, tried } of byLoop) {
    const behind = loopTime(study, best.outcome, loop) - loopTime(study, tried.outcome, loop);
    lines.push(
      ...wrapped('  ', [
        `${escaped(loop)}: ${behind < 0.005 ? 'the same choice' : `${against(study, tried, best)}; ${behind.toFixed(2)} s faster there than the choice above`}`,
      ]),
    );
  }
  return lines;
}

function freeLines({ gears, finalDrive, gain, tried }: FreeRatios): string[] {
  const list = gears.map((ratio) => ratio.toFixed(3)).join(', ');
  return wrapped('Gears: ', [
    gain < 0.005
      ? `free ratios would give nothing more (compass search, ${tried} tried).`
      : `were every ratio to be had, ${list} with the final drive ${finalDrive.toFixed(3)} would give ${seconds(gain)} s more (compass search from the choice, ${tried} tried): no gear set is worth more than that, as far as the search saw.`,
  ]);
}
