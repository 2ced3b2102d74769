/** A stage that is written reads back as the same road, whatever the names. */
import { expect, it, test } from 'vitest';
import { checkFiles } from '../../../src/cli/check.ts';
import { memoryFiles } from '../../../src/input/file-access.ts';
import { timeStage } from '../../../src/sim/time-stage.ts';
import { readStage } from '../../../src/track/read-stage.ts';
import { writeStage } from '../../../src/track/survey/write-stage.ts';
import { carWith } from '../../helpers/build.ts';
import { wetherLane } from '../../helpers/made-track.ts';
import { tableOf } from '../../helpers/road-table.ts';

it.each([
  ['Wether Lane', 'asphalt'],
  ['2026-05-01', 'loose gravel'],
  ['null', 'gravel, loose'],
  ['# "Up" & <down>: \u001b[31m', 'so-called "gravel"'],
])('%j on %j', (name, surface) => {
  const road = tableOf(wetherLane, surface);
  const georeference = { latitude: -47.123456, longitude: -179.5, height: 240 };
  const texts = writeStage({
    name,
    roadFile: 'a.csv',
    road,
    georeference,
    altitude: 241.4,
    remarks: ['Made\nby hand.'],
  });
  const files = memoryFiles({ 'a.yaml': texts.stage, 'a.csv': texts.road });
  expect(checkFiles(['a.yaml'], files).diagnostics).toEqual([]);
  const stage = readStage('a.yaml', files);
  expect(texts.read.road).toEqual(stage.road);
  expect(stage.name).toBe(name.replace('\u001b', '\\x1b'));
  expect(stage.georeference).toEqual(georeference);
  expect(stage.road.surfaceNames).toEqual([surface]);
  const close = (a: Float64Array, b: Float64Array) =>
    a.reduce((most, x, i) => Math.max(most, Math.abs(x - b[i])), 0);
  expect(stage.road.s.length).toBe(road.s.length);
  expect(close(stage.road.s, road.s)).toBeLessThan(0.00051);
  expect(close(stage.road.xy!.x, road.xy!.x)).toBeLessThan(0.00051);
  expect(close(stage.road.z!, road.z!)).toBeLessThan(0.00051);
  // The digits that are written leave the forecast as it is.
  const car = carWith({ tyre: { radius: 0.3, grip: new Map([[surface, { across: 0.9, along: 0.9 }]]) } });
  const exact = timeStage(car, { ...stage, road });
  const written = timeStage(car, stage);
  expect(Math.abs(written.time! / exact.time! - 1)).toBeLessThan(1e-4);
});

test('a line that is no road is refused, not written', () => {
  const lane = tableOf(wetherLane);
  const steep = { ...lane, grade: new Float64Array(lane.s.length).fill(1.5) };
  const stage = {
    name: 'a',
    roadFile: 'a.csv',
    road: steep,
    georeference: null,
    altitude: null,
    remarks: [],
  };
  expect(() => writeStage(stage)).toThrow(
    'the line through these points is no road: grade_pct is 150, expected -100 to 100 %',
  );
});
