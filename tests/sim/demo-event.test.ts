import { describe, expect, it } from 'vitest';
import { type CarSpec, readCar, readStage, type Stage, timeStage } from '../../src/index.ts';

const folder = 'stages/tarvenmoor';
const car = readCar(`${folder}/car.yaml`);
const stages = ['aldervane-wood', 'tarven-moor', 'skorrick-climb'].map((name) =>
  readStage(`${folder}/${name}.yaml`),
);

function time(spec: CarSpec, stage: Stage, step = 1): number {
  const forecast = timeStage(spec, stage, { step });
  expect(forecast.time).not.toBeNull();
  return forecast.time ?? Number.NaN;
}

describe('the demo event', () => {
  // Forecast averages of such stages lie between 70 and 120 km/h: common practice, no source.
  it.each(stages)('$name is driven at a believable pace', (stage) => {
    const { length, time: seconds } = timeStage(car, stage);
    const mean = (length / (seconds ?? 0)) * 3.6;
    expect(mean).toBeGreaterThan(70);
    expect(mean).toBeLessThan(120);
  });

  // A tyre made for loose ground wins on gravel and loses on asphalt: common practice, no source.
  it('is won by the right tyre', () => {
    const gravel = readCar(`${folder}/car-gravel.yaml`);
    const asphalt = readCar(`${folder}/car-asphalt.yaml`);
    expect(time(gravel, stages[0])).toBeLessThan(time(asphalt, stages[0]));
    expect(time(asphalt, stages[2])).toBeLessThan(time(gravel, stages[2]));
  });
});

describe('the step', () => {
  const { driveline } = car;
  const steady: CarSpec = { ...car, rotating: null, massFactor: 1.1, driveline: { ...driveline, shift: 0 } };

  // Without shift times and mass factors the sweeps alone are measured. The aim is order 1.8; what is reached
  // stands in docs/validation.md, and this keeps it from getting worse.
  it.each(stages)('of 1 m costs 5e-5 of the time or less on $name, shift times left out', (stage) => {
    const fine = time(steady, stage, 0.05);
    const error = (step: number) => Math.abs(time(steady, stage, step) / fine - 1);
    expect(error(1)).toBeLessThan(5e-5);
    expect(Math.log2(error(2) / error(0.25)) / 3).toBeGreaterThan(1.5);
  });

  it.each(stages)('of 1 m costs 5e-5 of the time or less on $name, gears planned', (stage) => {
    expect(Math.abs(time(car, stage, 1) / time(car, stage, 0.05) - 1)).toBeLessThan(5e-5);
  });
});

describe('time is smooth in the car’s numbers', () => {
  const xs = Array.from({ length: 21 }, (_, i) => i - 10);

  it.each(stages)('0.1 kg of mass scatters it by less than 0.5 ms on $name', (stage) => {
    const times = xs.map((x) => time({ ...car, mass: car.mass + 0.1 * x }, stage));
    expect(scatter(xs, times)).toBeLessThan(0.5e-3);
  });

  // The aim is 0.5 ms here too; where the plan changes its kind the moor reaches 0.7 ms.
  it.each(stages)('0.001 of final drive scatters it by less than 1 ms on $name', (stage) => {
    const { driveline } = car;
    const final = driveline.ratios?.finalDrive ?? Number.NaN;
    const times = xs.map((x) => {
      const scale = 1 + (0.001 * x) / final;
      return time(
        { ...car, driveline: { ...driveline, gearing: driveline.gearing.map((g) => g * scale) } },
        stage,
      );
    });
    expect(scatter(xs, times)).toBeLessThan(1e-3);
  });
});

/** Greatest distance of ys from their least-squares parabola over xs, xs symmetric about 0. */
function scatter(xs: readonly number[], ys: readonly number[]): number {
  const sum = (f: (x: number, y: number) => number) => xs.reduce((total, x, i) => total + f(x, ys[i]), 0);
  const n = xs.length;
  const x2 = sum((x) => x * x);
  const x4 = sum((x) => x ** 4);
  const y0 = sum((_, y) => y);
  const y1 = sum((x, y) => x * y);
  const y2 = sum((x, y) => x * x * y);
  const c = (n * y2 - x2 * y0) / (n * x4 - x2 * x2);
  const a = (y0 - c * x2) / n;
  const b = y1 / x2;
  return Math.max(...xs.map((x, i) => Math.abs(ys[i] - a - b * x - c * x * x)));
}
