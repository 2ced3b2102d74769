/** Which recordings are one road, which way round they run, and where the stage is cut from them. */
import { describe, expect, it, test } from 'vitest';
import type { Pass } from '../../../src/track/survey/pass.ts';
import { cut, layPasses, turned, turnedAlike } from '../../../src/track/survey/passes.ts';
import { groupByRoad, roughLength } from '../../../src/track/survey/same-road.ts';
import { SurveyError } from '../../../src/track/survey/survey-error.ts';
import { trim } from '../../../src/track/survey/trim.ts';
import { AT_SEA, recorded, wetherLane } from '../../helpers/made-track.ts';
import { recordingOf } from '../../helpers/recording.ts';

/** A pass through these places, one second apart. */
function passOf(places: readonly (readonly [number, number])[], begins: readonly number[] = [0]): Pass {
  const n = places.length;
  return {
    x: Float64Array.from(places, ([x]) => x),
    y: Float64Array.from(places, ([, y]) => y),
    z: new Float64Array(n).fill(100),
    time: Float64Array.from({ length: n }, (_, i) => i),
    begins: Uint8Array.from({ length: n }, (_, i) => (begins.includes(i) ? 1 : 0)),
    width: null,
  };
}

const straight = (from: number, to: number, y = 0) =>
  passOf(
    Array.from(
      { length: Math.abs(to - from) / 10 + 1 },
      (_, i) => [from + 10 * i * Math.sign(to - from), y] as const,
    ),
  );

describe('one road or several', () => {
  test('passes that lie beside each other are one road, a crossing one is not', () => {
    const crossing = passOf([
      [500, -500],
      [500, 0],
      [500, 500],
    ]);
    expect(groupByRoad([straight(0, 1000), straight(1000, 0, 8), crossing, straight(200, 800, -5)])).toEqual([
      0, 0, 1, 0,
    ]);
  });

  test('a pass that covers part of the road belongs to it; one that goes on elsewhere does not', () => {
    expect(groupByRoad([straight(0, 2000), straight(900, 1300, 4)])).toEqual([0, 0]);
    expect(groupByRoad([straight(0, 1000), straight(600, 1600, 4)])).toEqual([0, 1]);
  });

  test('drives of the same lane up and down are turned to run alike', () => {
    const up = recordingOf(recorded(wetherLane, AT_SEA, { seed: 1, spacing: 5, noise: 2 }));
    const down = recordingOf(recorded(wetherLane, AT_SEA, { seed: 2, spacing: 7, noise: 2, back: true }));
    const { passes } = layPasses([up, down]);
    expect(groupByRoad(passes)).toEqual([0, 0]);
    const alike = turnedAlike(passes);
    expect(alike.turned).toEqual([false, true]);
    const [a, b] = alike.passes;
    expect(Math.hypot(a.x[0] - b.x[0], a.y[0] - b.y[0])).toBeLessThan(15);
  });

  test('standing still with noise does not lengthen the line', () => {
    const jitter = Array.from(
      { length: 500 },
      (_, i) => [3 * Math.sin(i * 1.7), 3 * Math.cos(i * 2.9)] as const,
    );
    expect(roughLength(passOf([...jitter, [500, 0]]))).toBeLessThan(510);
  });
});

test('a road across the 180th meridian is laid as it is elsewhere', () => {
  const track = { seed: 3, spacing: 5, noise: 0 };
  const at = { latitude: -17, longitude: 179.9965, height: 0 };
  const across = recordingOf(recorded(wetherLane, at, track));
  expect(across.east.some((lon) => lon > 179) && across.east.some((lon) => lon < -179)).toBe(true);
  const here = layPasses([across]).passes[0];
  const there = layPasses([recordingOf(recorded(wetherLane, { ...at, longitude: 20 }, track))]).passes[0];
  for (let i = 0; i < here.x.length; i++) {
    expect(Math.hypot(here.x[i] - there.x[i], here.y[i] - there.y[i])).toBeLessThan(0.1); // the origin is rounded to 1e-6 deg
  }
});

test('turned twice is as before; parts keep their ends and times run upwards', () => {
  const pass = passOf(
    [
      [0, 0],
      [10, 0],
      [50, 0],
      [60, 0],
      [70, 0],
    ],
    [0, 2],
  );
  const back = turned(pass);
  expect([...back.x]).toEqual([70, 60, 50, 10, 0]);
  expect([...back.begins]).toEqual([1, 0, 0, 1, 0]);
  expect([...back.time]).toEqual([0, 1, 2, 3, 4]);
  expect(turned(back)).toEqual(pass);
  expect([...cut(pass, 1, 4).begins]).toEqual([1, 1, 0]);
});

describe('trim', () => {
  const there = straight(0, 1000);
  const distance = (metres: number) => ({ kind: 'distance', text: `${metres}m`, distance: metres }) as const;
  const position = (x: number, y: number) => ({ kind: 'position', text: `${x},${y}`, x, y }) as const;
  const ends = ({ x }: Pass) => [x[0], x[x.length - 1]];

  it.each([
    ['distances', distance(198), distance(703), [200, 700]],
    ['positions', position(304, 20), position(896, -30), [300, 900]],
    ['one of each', distance(0), position(896, -30), [0, 900]],
  ] as const)('by %s, at the nearest point', (_, from, to, expected) => {
    expect(ends(trim([there], from, to)[0])).toEqual(expected);
  });

  test('a road driven there and back is cut on the way out', () => {
    const both = passOf([
      ...Array.from(there.x, (x) => [x, 0] as const),
      ...Array.from(there.x, (x) => [1000 - x, 3] as const),
    ]);
    expect(ends(trim([both], position(200, 0), position(800, 2))[0])).toEqual([200, 800]);
    expect(trim([both], position(200, 0), position(800, 2))[0].x.length).toBe(61);
  });

  test('other passes are cut where the first one is, each at its own points', () => {
    const other = straight(-45, 1105, 6);
    expect(ends(trim([there, other], distance(200), distance(700))[1])).toEqual([195, 695]);
  });

  it.each([
    [
      'beyond the end',
      null,
      distance(1200),
      '--to 1200m lies beyond the end: the recording is 1.00 km long',
      'give a distance within it, or leave the flag out',
    ],
    [
      'off the line',
      position(500, 900),
      null,
      '--from 500,900 is more than 200 m from the line',
      'copy the position from a map, latitude first; is it the right track?',
    ],
    [
      'the wrong way round',
      distance(700),
      distance(200),
      '--to 200m lies before --from 700m on the way of the recording',
      'exchange the two, or add --reverse if the stage runs against the recording',
    ],
  ] as const)('%s is refused', (_, from, to, message, help) => {
    expect(() => trim([there], from, to)).toThrow(new SurveyError(message, help));
  });
});
