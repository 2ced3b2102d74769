/** Do intervals hold the truth as often as they say? An experiment on a short road, seeded. */
import { expect, it } from 'vitest';
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { normalFrom, randomFrom } from '../../src/numbers/random.ts';
import { INTERVAL, rank } from '../../src/study/rank.ts';
import type { SetUp } from '../../src/study/set-up.ts';
import { evaluateHere, openStudy, type Study } from '../../src/study/study.ts';
import { totalTime } from '../../src/study/totals.ts';

const files = memoryFiles({
  'event.yaml': `event: Short
car: car.yaml
changes: changes.yaml
stages: [stage.yaml]
uncertain:
  tyre.grip.gravel: {sd: 5 %}
  mass: {sd: 15 kg}
  engine.power: {sd: 4 %}
  pace: {range: [0.88, 0.96]}
`,
  'changes.yaml': 'changes:\n  - {change: Lighter, add: {mass: -40 kg}}\n',
  'stage.yaml':
    'stage: Short\nroad: road.csv\nstart: {rolling: 30 km/h}\nair: {density: 1.2 kg/m^3}\nsurfaces: {gravel: {rolling_resistance: 0.03}}\n',
  'road.csv':
    'station_m,curvature_1pm,surface\n0,0,gravel\n80,0,gravel\n80,0.04,gravel\n110,0.04,gravel\n110,0,gravel\n160,0,gravel\n',
  'car.yaml': `car: Short car
mass: 1200 kg
pace: 0.92
tyre: {grip: {gravel: 0.6}}
air: {drag_area: 0.7 m^2}
engine: {power: 150 kW}
driveline: {driven: rear, driven_load: 0.55}
`,
});

function open(seed: number): Study {
  const faults = new Faults();
  const study = openStudy('event.yaml', files, { step: 2, seed }, faults);
  if (study === null)
    throw new Error(
      faults
        .all()
        .map(({ message }) => message)
        .join('\n'),
    );
  return study;
}

it('holds the truth in 90 of 100 cases, within what 1000 repetitions can tell', {
  timeout: 300_000,
}, async () => {
  const REPETITIONS = 1000;
  const SEEDS = 50; // of intervals, each met by twenty truths
  const intervals: (readonly [number, number])[] = [];
  for (let seed = 1; seed <= SEEDS; seed++) {
    const study = open(seed);
    const { gains } = await rank(study, evaluateHere(study), 64, false);
    intervals.push(gains[0].interval!);
  }
  const study = open(1);
  const random = randomFrom(2024);
  const normal = normalFrom(random);
  let inside = 0;
  for (let k = 0; k < REPETITIONS; k++) {
    // The truth as the event states it, drawn by another generator, written into the car.
    const settings: SetUp['settings'] = [
      ['tyre.grip.gravel', 0.6 * (1 + 0.05 * normal())],
      ['mass', `${1200 + 15 * normal()} kg`],
      ['engine.power', `${150 * (1 + 0.04 * normal())} kW`],
      ['pace', 0.88 + 0.08 * random()],
    ];
    const [before, after] = [[], [0]].map((changes) =>
      totalTime(study, study.evaluate({ changes, settings, draw: null })),
    );
    const gain = before - after;
    const [from, to] = intervals[k % SEEDS];
    if (gain >= from && gain <= to) inside++;
  }
  // Three standard errors of a share from so many cases.
  const error = Math.sqrt((INTERVAL * (1 - INTERVAL)) / REPETITIONS);
  expect(Math.abs(inside / REPETITIONS - INTERVAL)).toBeLessThan(3 * error);
});
