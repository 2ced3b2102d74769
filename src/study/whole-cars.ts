/** Whole cars against each other: at what share of loose surface the better one changes. */
import { BASE } from './set-up.ts';
import type { Study } from './study.ts';
import { flipShare, looseShare, paceOf } from './surface-flip.ts';

export interface Flip {
  readonly a: string; // faster where more is hard
  readonly b: string; // faster where more is loose
  readonly share: number | null; // of loose road at which they take equally long; null: one is faster at any share
  readonly faster: string; //       on the event's roads
}

/** The event's share of loose road, and each pair of whole cars; null where there is but one car, or one kind of road. */
export function flipsOf(study: Study): { readonly loose: number; readonly flips: readonly Flip[] } | null {
  const cars = [
    { name: 'the car as it stands', setUp: BASE },
    ...(study.event.changes?.changes ?? []).flatMap(({ name, car }, i) =>
      car === null ? [] : [{ name, setUp: { ...BASE, changes: [i] } }],
    ),
  ];
  if (cars.length < 2) return null;
  const runs = cars.map(({ setUp }) => study.forecasts(setUp, study.car(setUp)));
  const paces = runs.map((forecasts) => paceOf(study.courses, forecasts));
  const loose = looseShare(study.courses, runs[0]);
  if (!(loose > 0 && loose < 1)) return null;
  const flips: Flip[] = [];
  for (let i = 0; i < cars.length; i++) {
    for (let j = i + 1; j < cars.length; j++) {
      const [p, q] = [paces[i], paces[j]];
      if (!Number.isFinite(p.loose + p.hard + q.loose + q.hard)) continue;
      const at = (pace: typeof p) => loose * pace.loose + (1 - loose) * pace.hard;
      const faster = at(p) <= at(q) ? cars[i].name : cars[j].name;
      const hardFirst = p.hard <= q.hard;
      flips.push({
        a: cars[hardFirst ? i : j].name,
        b: cars[hardFirst ? j : i].name,
        share: flipShare(p, q),
        faster,
      });
    }
  }
  return { loose, flips };
}

/** The same in sentences. */
export function flipWords(study: Study): string[] {
  const found = flipsOf(study);
  if (found === null || found.flips.length === 0) return [];
  const percent = (x: number) => `${(100 * x).toFixed(0)} %`;
  return [
    `${percent(found.loose)} of these roads are loose, by length.`,
    ...found.flips.map(({ a, b, share, faster }) =>
      share === null
        ? `${capital(faster)} is faster than ${faster === a ? b : a} on either kind of road.`
        : `${capital(b)} beats ${a} from ${percent(share)} loose on.`,
    ),
    'Each is taken to keep its pace on loose and on hard road as here; a road of another kind moves the shares.',
  ];
}

const capital = (text: string) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
