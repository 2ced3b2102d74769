import { expect, it } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { forecastText } from '../../src/report/forecast-text.ts';
import { type StageForecast, timeStage } from '../../src/sim/time-stage.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { goodFiles } from '../fixtures/good-files.ts';

const files = memoryFiles(goodFiles);
const car = readCar('car.yaml', files);
const forecast = timeStage(car, readStage('stage.yaml', files));
const watched = (watch: Partial<StageForecast['watch']>) =>
  forecastText(car, [{ ...forecast, watch: { ...forecast.watch, ...watch } }]);

it('lists slow bends by place and keeps the slowest to be seen', () => {
  const text = watched({
    slowestBends: [
      { at: 300, speed: 10, radius: 12 },
      { at: 900, speed: 11, radius: -14 },
      { at: 120, speed: 12, radius: 15 },
    ],
  });
  expect(text.split('\n').filter((line) => line.includes('bend,'))).toEqual([
    '  km 0.120  slow bend, left, radius 15 m, 43 km/h',
    '  km 0.300  slowest bend, left, radius 12 m, 36 km/h',
    '  km 0.900  slow bend, right, radius 14 m, 40 km/h',
  ]);
});

it('tells of the limiter from half a second on', () => {
  expect(watched({ limiterTime: 0.49 })).not.toContain('on the limiter');
  expect(watched({ limiterTime: 0.5 })).toContain('  0.5 s on the limiter\n');
});

it('says of what it assumed something: of the car once, of each stage its own', () => {
  const spec = { ...car, assumptions: ['A mark of the car.'] };
  const stage = (name: string): StageForecast => ({
    ...forecast,
    stage: name,
    assumptions: ['A mark of the car.', `A mark of ${name}.`],
  });
  const text = forecastText(spec, [stage('Upper'), stage('Lower')]);
  expect(text).toContain(
    [
      `Assumed of ${car.name}:\n  A mark of the car.`,
      'Assumed of Upper:\n  A mark of Upper.',
      'Assumed of Lower:\n  A mark of Lower.\n',
    ].join('\n'),
  );
  expect(text.split('A mark of the car.')).toHaveLength(2);
});

it('leaves out a roughness that a stage states, and says so once', () => {
  const smooth = goodFiles['stage.yaml'].replace(', roughness: D', '');
  const unstated = timeStage(
    car,
    readStage('stage.yaml', memoryFiles({ ...goodFiles, 'stage.yaml': smooth })),
  );
  const said = 'Left out too: the roughness of the road, where a stage states it.';
  const unwrapped = (text: string) => text.replace(/\s+/g, ' ');
  expect(unwrapped(forecastText(car, [unstated, forecast, forecast])).split(said)).toHaveLength(2);
  expect(unwrapped(forecastText(car, [unstated]))).not.toContain('Left out too');
});
