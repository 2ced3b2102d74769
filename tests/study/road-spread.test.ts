import { describe, expect, test } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { roadSpread } from '../../src/study/road-spread.ts';
import { carWith, roadTable, stageOn } from '../helpers/build.ts';

const straight = (length: number) => roadTable([{ s: 0 }, { s: length }]);
const car = carWith({});
const stage = stageOn(straight(1000));
const timeOn = (length: number) => timeStage(car, stageOn(straight(length))).time!;

test('roads that are all alike leave half a percent, which no recording tells', () => {
  const time = timeOn(1000);
  const spread = roadSpread(car, stage, () => stage.road, 1);
  expect(spread).toEqual({ time, low: 0.995 * time, high: 1.005 * time, draws: 40, finished: 40 });
});

const drawnOn = (lengths: readonly number[]) => {
  let next = 0;
  return roadSpread(car, stage, () => straight(lengths[next++]), 1, lengths.length);
};

test('the range runs from the 5 % to the 95 % quantile, linear between the times', () => {
  const { low, high } = drawnOn([1010, 990, 1000, 980, 1020]);
  expect(low).toBeCloseTo(timeOn(980) + 0.2 * (timeOn(990) - timeOn(980)), 12);
  expect(high).toBeCloseTo(timeOn(1010) + 0.8 * (timeOn(1020) - timeOn(1010)), 12);
});

test('drawn roads that are slower than the fitted one by and large leave room on its other side', () => {
  const { time, low, high } = drawnOn([1040, 1000, 1030, 1010, 1020]);
  const first = timeOn(1000) + 0.2 * (timeOn(1010) - timeOn(1000));
  expect(low).toBeCloseTo(time! - (timeOn(1020) - first), 12);
  expect(high).toBeCloseTo(timeOn(1030) + 0.8 * (timeOn(1040) - timeOn(1030)), 12);
});

test('the same seed draws the same roads, another seed others', () => {
  const draw = (random: () => number) => straight(1000 + 50 * random());
  expect(roadSpread(car, stage, draw, 7)).toEqual(roadSpread(car, stage, draw, 7));
  expect(roadSpread(car, stage, draw, 8)).not.toEqual(roadSpread(car, stage, draw, 7));
});

describe('roads that the car cannot climb', () => {
  const wall = roadTable([{ s: 0 }, { s: 200 }, { s: 220, grade: 3 }, { s: 1000, grade: 3 }]);
  const weak = carWith({ engine: { kind: 'constant-power', power: 50_000 } });
  const time = timeStage(weak, stage).time!;
  const withWalls = (walls: number, draws: number) => {
    let next = 0;
    return roadSpread(weak, stage, () => (next++ < walls ? wall : stage.road), 1, draws);
  };

  test('are slower than all others', () => {
    expect(withWalls(5, 10)).toEqual({ time, low: time, high: Infinity, draws: 10, finished: 5 });
    expect(withWalls(10, 10)).toMatchObject({ low: Infinity, high: Infinity, finished: 0 });
  });

  test('do not count where they are fewer than one of twenty', () => {
    expect(withWalls(2, 41)).toMatchObject({ time, high: 1.005 * time, draws: 41, finished: 39 });
  });
});
