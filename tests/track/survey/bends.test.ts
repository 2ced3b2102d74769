import { expect, it, test } from 'vitest';
import { BEND_CLASSES, bendClass, classRange, findBends } from '../../../src/track/survey/bends.ts';
import { bend, layRoad, type MadeRoad, wetherLane } from '../../helpers/made-track.ts';
import { tableOf } from '../../helpers/road-table.ts';

const names = (road: MadeRoad) => findBends(tableOf(road)).map((b) => BEND_CLASSES[b.class].name);

test('the bends of the invented lane, in their order', () => {
  // The radii it is laid with: 90, -45, 14, -12, 160, -60 and 30 m; a bound belongs to the wider class.
  expect(names(wetherLane)).toEqual(['open', 'medium', 'hairpin', 'hairpin', 'slight', 'open', 'medium']);
});

it.each([
  ['a wave of the line of 5 degrees is no bend', bend(100, 8, 0.5, 0), []],
  [
    'two bends one way with a straight between them are two',
    [...bend(25, 20, 5, 0), [30, 0, 0] as const, ...bend(25, 20, 5, 0)],
    ['tight', 'tight'],
  ],
  ['an S is two bends', [...bend(25, 20, 5, 0), ...bend(-25, 20, 5, 0)], ['tight', 'tight']],
  [
    'a bend that tightens is one, by its tightest place',
    [
      [20, 1 / 80, 0],
      [20, 1 / 14, 0],
      [20, 0, 0],
    ],
    ['hairpin'],
  ],
  [
    'a bend that goes on to the end counts',
    [
      [10, 0, 0],
      [40, 1 / 20, 0],
    ],
    ['tight'],
  ],
] as const)('%s', (_, stretches, expected) => {
  expect(names(layRoad(stretches, 0))).toEqual(expected);
});

test('every radius has one class, and its range says which', () => {
  expect([5, 15, 29.9, 30, 299, 300, Infinity].map(bendClass)).toEqual([0, 1, 1, 2, 4, 5, 5]);
  expect([0, 1, 5].map(classRange)).toEqual(['under 15 m', '15 to 30 m', '300 m and more']);
});
