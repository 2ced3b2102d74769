import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { rankText } from '../../src/report/rank-text.ts';
import { timeStage } from '../../src/sim/time-stage.ts';
import { gapByStation } from '../../src/study/gap.ts';
import { rank } from '../../src/study/rank.ts';
import { BASE } from '../../src/study/set-up.ts';
import { normalQuantile, sobol } from '../../src/study/sobol.ts';
import { evaluateHere, type Study } from '../../src/study/study.ts';
import { totalTime } from '../../src/study/totals.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { spoil } from '../fixtures/good-files.ts';
import { changes, eventFiles, small } from './small-event.ts';

/** What `splitcast time` finds for a car file and each of the event's courses, read anew from files. */
function timed(car: string, more: Readonly<Record<string, string>> = {}): number[] {
  const loaded = (kg: number) =>
    car.replace(/^mass: (\S+) kg/m, (_, mass) => `mass: ${Number(mass) + kg} kg`);
  const files = memoryFiles({ ...eventFiles, ...more, 'a.yaml': car, 'b.yaml': loaded(20) });
  const [plain, heavy] = [readCar('a.yaml', files), readCar('b.yaml', files)];
  const courses = [
    [heavy, 'stage.yaml', undefined],
    [heavy, 'stage.yaml', undefined],
    [plain, 'lane.yaml', undefined],
    [plain, 'lane.yaml', 'wet'],
    [plain, 'lane.yaml', undefined],
    [plain, 'lane.yaml', 'wet'],
  ] as const;
  return courses.map(
    ([spec, stage, condition]) => timeStage(spec, readStage(stage, files, { condition }), { step: 2 }).time!,
  );
}

const base = eventFiles['car.yaml'];
const weights = [0.75, 0.25, 0.75, 0.25, 0.75, 0.25];
const byName = async (study: Study, name: string, draws = 0) =>
  (await rank(study, evaluateHere(study), draws, false)).gains.find((gain) => gain.name === name)!;

describe('the gain of a change', () => {
  it.each([
    ['Short final drive', spoil(base, 'final_drive: 4.30', `final_drive: ${43 / 9}`)],
    ['Long final drive', spoil(base, 'final_drive: 4.30', 'final_drive: 3.9')],
    ['Light seats', spoil(base, 'mass: 1390 kg', 'mass: 1375 kg')],
  ])('%s is the difference of two runs of `time`, to the last digit', async (name, car) => {
    const gain = await byName(small(), name);
    const [before, after] = [timed(base), timed(car)];
    expect(gain.byCourse).toEqual(before.map((time, c) => time - after[c]));
    // The whole is the difference of the weighted sums, added in the order of the courses.
    const sum = (times: readonly number[]) => times.reduce((total, time, c) => total + weights[c] * time, 0);
    expect(gain.gain).toBe(sum(before) - sum(after));
  });

  it('of a scaled torque table is that of a table written out', async () => {
    const engine = eventFiles['engine.csv'].replace(
      /^(\d+),(\d+)$/gm,
      (_, rpm, torque) => `${rpm},${Number(torque) * 1.04}`,
    );
    const gain = await byName(small(), 'Map');
    const [before, after] = [timed(base), timed(base, { 'engine.csv': engine })];
    expect(gain.byCourse).toEqual(before.map((time, c) => time - after[c]));
  });

  it('of a new displacement scales the torque by it', async () => {
    const bored = spoil(
      changes,
      'scale: {engine.torque: 1.04}',
      'displacement: {from: 1500 cm^3, to: 1.56 l}',
    );
    const [a, b] = [await byName(small(), 'Map'), await byName(small({ 'changes.yaml': bored }), 'Map')];
    expect(b.gain).toBeCloseTo(a.gain, 9);
  });

  it('of a whole car is that of its file', async () => {
    const other = spoil(spoil(base, 'mass: 1390 kg', 'mass: 1300 kg'), 'force: 17 kN', 'force: 9 kN');
    const files = {
      'other.yaml': other,
      'changes.yaml': spoil(changes, 'scale: {engine.torque: 1.04}', 'car: other.yaml'),
    };
    const gain = await byName(small(files), 'Map');
    const [before, after] = [timed(base), timed(other)];
    expect(gain.byCourse).toEqual(before.map((time, c) => time - after[c]));
    expect(gain.mass).toBe(1300);
  });

  it('of a change to the stages is that of the changed stage files', async () => {
    const colder = 'set: {stage.air.temperature: -10 degC, stage.air.altitude: 310 m}';
    const study = small({ 'changes.yaml': spoil(changes, 'scale: {engine.torque: 1.04}', colder) });
    const gain = await byName(study, 'Map');
    const cold = { 'stage.yaml': spoil(eventFiles['stage.yaml'], '9 degC', '-10 degC') };
    const lane = { 'lane.yaml': `${eventFiles['lane.yaml']}air: {altitude: 310 m, temperature: -10 degC}\n` };
    const [before, after] = [timed(base), timed(base, { ...cold, ...lane })];
    expect(gain.byCourse).toEqual(before.map((time, c) => time - after[c]));
  });

  it('is what its parts add up to: what held the car, sectors, road', async () => {
    const study = small();
    const ranking = await rank(study, evaluateHere(study), 0, false);
    for (const gain of ranking.gains) {
      expect(gain.why.reduce((a, b) => a + b, 0)).toBeCloseTo(gain.gain, 9);
      const bySector = study.courses.map(({ weight, first, sectors }) =>
        gain.bySector.subarray(first, first + sectors).reduce((a, b) => a + weight * b, 0),
      );
      expect(bySector.reduce((a, b) => a + b, 0)).toBeCloseTo(gain.gain, 9);
      const setUp = { ...BASE, changes: [gain.change] };
      const runs = [BASE, setUp].map((s) => study.forecasts(s, study.car(s)));
      const gaps = runs[0].map((run, c) => gapByStation(run, runs[1][c]).at(-1)!);
      for (const [c, gap] of gaps.entries()) expect(gap).toBeCloseTo(gain.byCourse[c], 9);
      // Roads of under 200 m steps: the three stretches listed are part of the whole.
      expect(gain.stretches.length).toBeLessThanOrEqual(3);
    }
  });
});

describe('what is uncertain of the stages', () => {
  it('is drawn as if it stood in each stage file that states it', () => {
    const only = (of: string) => eventFiles['event.yaml'].replace(/uncertain:[\s\S]*/, of);
    const study = small({ 'event.yaml': only('uncertain: {stage.air.temperature: {sd: 4 degC}}\n') });
    const points = sobol(1, 1);
    for (const draw of [0, 1, 2]) {
      const degrees = 9 + 4 * normalQuantile(points(draw)[0]);
      const written = {
        'event.yaml': only(''),
        'stage.yaml': spoil(eventFiles['stage.yaml'], '9 degC', `${degrees} degC`),
      };
      const [drawn, fresh] = [study.evaluate({ ...BASE, draw }), small(written).evaluate(BASE)];
      for (const [k, time] of drawn.sectors.entries()) expect(time).toBeCloseTo(fresh.sectors[k], 9);
      expect(drawn.sectors[0]).not.toBe(study.evaluate(BASE).sectors[0]);
    }
  });
});

describe('the order', () => {
  it('has the greatest gain first, and the same changes in any order of the file', async () => {
    const study = small();
    const { gains, baseTime, base: outcome } = await rank(study, evaluateHere(study), 0, false);
    expect(gains.map(({ gain }) => gain)).toEqual(gains.map(({ gain }) => gain).sort((a, b) => b - a));
    expect(baseTime).toBe(totalTime(study, outcome));
  });

  it('does not tell two changes apart that are the same, and tells a great one from none', async () => {
    const twice = changes.replace(
      'ranges:',
      '  - change: Same seats\n    add: {mass: -15 kg}\n  - change: Anvil\n    add: {mass: 400 kg}\nranges:',
    );
    const study = small({ 'changes.yaml': twice });
    const { gains, ties } = await rank(study, evaluateHere(study), 16, false);
    const at = gains.findIndex(({ name }) => name === 'Light seats');
    expect(gains[at + 1].name).toBe('Same seats');
    expect(ties).toContainEqual([at, at + 1]);
    expect(gains.at(-1)!.name).toBe('Anvil');
    expect(ties!.flat()).not.toContain(gains.length - 1);
    expect(gains.at(-1)!.chance).toBe(0);
  });

  it('says which cannot be told apart in as few words as hold all of them', async () => {
    const study = small();
    const ranking = await rank(study, evaluateHere(study), 4, false);
    const said = (...ties: [number, number][]) =>
      /Cannot be told apart: ([^.]*)\./.exec(rankText(study, { ...ranking, ties }))?.[1];
    expect(said([0, 1], [0, 2], [1, 2], [1, 3])).toBe('any two of 1 to 3; 2 and 4');
    expect(said([0, 1], [1, 2], [2, 3])).toBe('1 and 2; 2 and 3; 3 and 4');
    expect(said()).toBeUndefined();
  });

  it('shows what two changes do together beyond their sum', async () => {
    const study = small();
    const { pairs, gains } = await rank(study, evaluateHere(study), 0, true);
    // Of four changes two exclude each other: 6 − 1 pairs.
    expect(pairs).toHaveLength(5);
    for (const { a, b, gain, more } of pairs!) {
      const both = study.evaluate({ ...BASE, changes: [gains[a].change, gains[b].change].sort() });
      expect(gain).toBe(totalTime(study, study.evaluate(BASE)) - totalTime(study, both));
      expect(more).toBeCloseTo(gain - gains[a].gain - gains[b].gain, 12);
    }
  });

  it('counts a car that cannot finish as none, last', async () => {
    const weak = spoil(changes, 'scale: {engine.torque: 1.04}', 'scale: {engine.torque: 0.02}');
    const hill = spoil(eventFiles['road.csv'], '260,0.02,5', '260,0.02,12');
    const study = small({
      'changes.yaml': weak,
      'road.csv': hill
        .replace('120,0.02,4', '120,0.02,12')
        .replace('120,0,4', '120,0,12')
        .replace('450,0,5', '450,0,12'),
    });
    const { gains } = await rank(study, evaluateHere(study), 4, false);
    expect(gains.at(-1)).toMatchObject({ name: 'Map', gain: Number.NEGATIVE_INFINITY, chance: 0 });
  });
});
