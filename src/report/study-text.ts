/** Pieces that the reports of studies share. */
import { escaped } from '../input/render-diagnostic.ts';
import type { Study } from '../study/study.ts';
import { CAUTION, wrapped } from './forecast-text.ts';

/** A gain or a difference in seconds, with its sign; a minus as wide as a plus. */
export function seconds(x: number, digits = 2): string {
  if (x === Number.NEGATIVE_INFINITY) return 'stops';
  const text = Math.abs(x).toFixed(digits);
  return `${Number(text) === 0 ? ' ' : x < 0 ? '−' : '+'}${text}`;
}

/** Text cut to a width, with a sign that it was. */
export function fitted(text: string, width: number): string {
  const shown = escaped(text);
  return (shown.length > width ? `${shown.slice(0, width - 1)}…` : shown).padEnd(width);
}

export const percent = (share: number) => `${(100 * share).toFixed(0)} %`;

/** What a study is over, in a line or two. */
export function overview(study: Study): string[] {
  const stages = new Set(study.courses.map(({ stage }) => stage.file)).size;
  const loops = new Set(study.courses.map(({ loop }) => loop)).size;
  const weather = study.event.conditions
    .filter(({ name }) => name !== null)
    .map(({ name, weight }) => `${name} ${percent(weight)}`);
  const over = loops > 1 ? ` in ${loops} loops` : '';
  const sentence = `${stages === 1 ? '1 stage' : `${stages} stages`}${over}${weather.length > 0 ? `; ${weather.join(', ')}` : ''}.`;
  return wrapped('', [sentence]);
}

/** What no study of ours can see, and the caution. */
export function closing(study: Study, also: readonly string[] = []): string[] {
  const stated = new Set(study.courses.flatMap(({ stage }) => stage.conditions ?? []));
  const assumed = [...also];
  const bare = new Map<string, string[]>();
  for (const { condition, stage } of study.courses) {
    if (condition === null || stage.condition === condition) continue;
    const names = bare.get(condition) ?? [];
    if (!names.includes(stage.name)) names.push(stage.name);
    bare.set(condition, names);
  }
  for (const [condition, names] of bare)
    assumed.push(
      stated.has(condition)
        ? `No condition ${condition} in ${names.join(', ')}: taken as the file has it.`
        : `In the condition ${condition} the stages are as their files have them.`,
    );
  return [
    ...(assumed.length > 0 ? [...wrapped('Assumed: ', assumed), ''] : []),
    ...wrapped('Not seen: ', [
      'how a change alters the driver’s trust in the car, wear and temperature over a loop, reliability, and what the car file does not hold.',
      'A gain is as good as the numbers of the change: a grip or a drag that was guessed gives a guess.',
    ]),
    '',
    ...wrapped('', [CAUTION]),
  ];
}
