import { expect, test } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { roadSpread } from '../../src/study/road-spread.ts';
import { carWith, roadTable, stageOn } from '../helpers/build.ts';

const straight = (length: number) => roadTable([{ s: 0 }, { s: length }]);
const car = carWith({});
const stage = stageOn(straight(1000));
const timeOn = (length: number) => timeStage(car, stageOn(straight(length))).time!;

test('roads that are all alike leave no spread', () => {
  const spread = roadSpread(car, stage, () => stage.road, 1);
  expect(spread).toEqual({
    time: timeOn(1000),
    low: timeOn(1000),
    high: timeOn(1000),
    draws: 40,
    finished: 40,
  });
});

test('the range runs from the 5 % to the 95 % quantile, linear between the times', () => {
  const lengths = [1040, 1000, 1030, 1010, 1020];
  let next = 0;
  const { low, high } = roadSpread(car, stage, () => straight(lengths[next++]), 1, 5);
  expect(low).toBeCloseTo(timeOn(1000) + 0.2 * (timeOn(1010) - timeOn(1000)), 12);
  expect(high).toBeCloseTo(timeOn(1030) + 0.8 * (timeOn(1040) - timeOn(1030)), 12);
});

test('the same seed draws the same roads, another seed others', () => {
  const draw = (random: () => number) => straight(1000 + 50 * random());
  expect(roadSpread(car, stage, draw, 7)).toEqual(roadSpread(car, stage, draw, 7));
  expect(roadSpread(car, stage, draw, 8)).not.toEqual(roadSpread(car, stage, draw, 7));
});

test('a road that the car cannot climb is counted, not timed', () => {
  const wall = roadTable([{ s: 0 }, { s: 200 }, { s: 220, grade: 3 }, { s: 1000, grade: 3 }]);
  const weak = carWith({ engine: { kind: 'constant-power', power: 50_000 } });
  let next = 0;
  const spread = roadSpread(weak, stage, () => (next++ % 2 === 0 ? wall : stage.road), 1, 10);
  expect([spread.draws, spread.finished, spread.low]).toEqual([10, 5, timeStage(weak, stage).time]);
});
