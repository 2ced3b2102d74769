/**
 * 400 real cars from 0 to 60 mph, forecast from weight and power alone: how far two numbers go.
 * Data: cars.json of vega-datasets. What the numbers mean is written in docs/real-cars.md, whose figures are held to
 * the run here; `CHARTS=1` in the environment writes the chart that it shows.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Forecast, forecastAll } from '../helpers/zero-to-sixty.ts';
import { scatterChart } from '../helpers/zero-to-sixty-chart.ts';

const cars = forecastAll();
const error = ({ forecast, measured }: Forecast) => forecast - measured;
const isDiesel = ({ name }: Forecast) => /diesel|\b\d{3}d$/.test(name);
const poundsPerHorse = ({ weight, power }: Forecast) => weight / power;

const mean = (x: readonly number[]) => x.reduce((sum, value) => sum + value, 0) / x.length;
const covariance = (x: readonly number[], y: readonly number[]) =>
  mean(x.map((value, i) => (value - mean(x)) * (y[i] - mean(y))));
const correlation = (x: readonly number[], y: readonly number[]) =>
  covariance(x, y) / Math.sqrt(covariance(x, x) * covariance(y, y));
const scatter = (x: readonly number[]) => Math.sqrt(covariance(x, x));

const measured = cars.map((car) => car.measured);
const errors = cars.map(error);
const bias = mean(errors);
const r = correlation(
  cars.map((car) => car.forecast),
  measured,
);

/** Scatter of the measured time [s] between two cars that agree in weight and in power within 2 %. */
function likeCars(): { pairs: number; scatter: number } {
  const near = (x: number, y: number) => Math.abs(Math.log(x / y)) < 0.02;
  let pairs = 0;
  let squares = 0;
  for (const [i, a] of cars.entries()) {
    for (const b of cars.slice(0, i)) {
      if (a.name === b.name || !near(a.weight, b.weight) || !near(a.power, b.power)) continue;
      pairs++;
      squares += (a.measured - b.measured) ** 2 / 2;
    }
  }
  return { pairs, scatter: Math.sqrt(squares / pairs) };
}

/** Least squares of log time over log weight and log power: all that a formula of this kind can draw from the two. */
function fitted(times: readonly number[]): { weight: number; power: number; times: number[] } {
  const [w, p, t] = [cars.map((car) => car.weight), cars.map((car) => car.power), times].map((x) =>
    x.map(Math.log),
  );
  const [ww, wp, pp] = [covariance(w, w), covariance(w, p), covariance(p, p)];
  const [wt, pt] = [covariance(w, t), covariance(p, t)];
  const weight = (wt * pp - pt * wp) / (ww * pp - wp * wp);
  const power = (pt * ww - wt * wp) / (ww * pp - wp * wp);
  const at = mean(t) - weight * mean(w) - power * mean(p);
  return { weight, power, times: w.map((_, i) => Math.exp(at + weight * w[i] + power * p[i])) };
}

/** Share of the variance of the errors that lies between groups. */
function sharedBy(group: (car: Forecast) => string | number): number {
  const groups = new Map<string | number, number[]>();
  for (const car of cars) groups.set(group(car), [...(groups.get(group(car)) ?? []), error(car)]);
  let between = 0;
  for (const group of groups.values()) between += group.length * (mean(group) - bias) ** 2;
  return between / (cars.length * covariance(errors, errors));
}

const like = likeCars();
const fit = fitted(measured);
const ours = fitted(cars.map((car) => car.forecast));
const few = (origin: string, cylinders: number) => (car: Forecast) =>
  car.origin === origin && car.cylinders === cylinders;
const before72 = ({ year }: Forecast) => year < 1972;
const groups: [string, (car: Forecast) => boolean][] = [
  ['all', () => true],
  ['1970 and 1971', before72],
  ['1972 to 1976', (car) => car.year >= 1972 && car.year <= 1976],
  ['1977 to 1982', (car) => car.year >= 1977],
  ['4 cylinders', (car) => car.cylinders === 4],
  ['4 cylinders, 1970 and 1971', (car) => car.cylinders === 4 && before72(car)],
  ['6 cylinders', (car) => car.cylinders === 6],
  ['8 cylinders', (car) => car.cylinders === 8],
  ['8 cylinders, 1970 and 1971', (car) => car.cylinders === 8 && before72(car)],
  ['USA', (car) => car.origin === 'USA'],
  ['Europe', (car) => car.origin === 'Europe'],
  ['Japan', (car) => car.origin === 'Japan'],
  ['4 cylinders, USA', few('USA', 4)],
  ['4 cylinders, Europe', few('Europe', 4)],
  ['4 cylinders, Japan', few('Japan', 4)],
  ['diesel, by its name', isDiesel],
  ['under 35 lb/hp', (car) => poundsPerHorse(car) < 35],
  ['35 to 40 lb/hp', (car) => poundsPerHorse(car) >= 35 && poundsPerHorse(car) < 40],
  ['40 lb/hp and over', (car) => poundsPerHorse(car) >= 40],
];
const of = (name: string) => {
  const members = cars.filter(groups.find(([title]) => title === name)![1]);
  return { members, bias: mean(members.map(error)), scatter: scatter(members.map(error)) };
};

describe('0 to 60 mph of 400 cars from weight and power', () => {
  it('has every car that states its power', () => expect(cars).toHaveLength(400));

  it('says more than power alone, weight alone and their ratio do', () => {
    expect(r).toBeGreaterThan(
      Math.abs(
        correlation(
          cars.map((car) => car.power),
          measured,
        ),
      ),
    );
    expect(r).toBeGreaterThan(
      Math.abs(
        correlation(
          cars.map((car) => car.weight),
          measured,
        ),
      ),
    );
    expect(r).toBeGreaterThan(correlation(cars.map(poundsPerHorse), measured));
  });

  it('loses little to a formula fitted to the answers, which no forecast without them can beat by much', () => {
    expect(r).toBeGreaterThan(correlation(fit.times, measured) - 0.05);
    expect(r).toBeLessThan(Math.sqrt(1 - like.scatter ** 2 / covariance(measured, measured)));
  });

  it('is off on the whole by less than two like cars differ, and scatters by at most half as much again', () => {
    expect(Math.abs(bias)).toBeLessThan(like.scatter);
    expect(scatter(errors)).toBeLessThan(1.5 * like.scatter);
  });

  it('misses where one typical car must: diesels and weak cars are forecast too slow', () => {
    // A diesel has its torque low and is geared for it; a weak car is geared shorter than the typical one.
    expect(of('diesel, by its name').bias).toBeGreaterThan(bias + 1);
    expect(of('40 lb/hp and over').bias).toBeGreaterThan(of('35 to 40 lb/hp').bias);
    expect(of('35 to 40 lb/hp').bias).toBeGreaterThan(of('under 35 lb/hp').bias);
    expect(Math.abs(ours.power)).toBeGreaterThan(Math.abs(fit.power));
    expect(ours.weight).toBeGreaterThan(fit.weight);
  });

  it('forecasts the fours of 1970 and 1971, whose power is stated gross, faster than later ones', () => {
    expect(of('4 cylinders, 1970 and 1971').bias).toBeLessThan(of('4 cylinders').bias);
  });

  it('is quoted by docs/real-cars.md as it came out', () => {
    const docs = readFileSync(new URL('../../docs/real-cars.md', import.meta.url), 'utf8').replace(
      /\s+/g,
      ' ',
    );
    const sign = (x: number) => (x < 0 ? '−' : '+') + Math.abs(x).toFixed(2);
    const percent = (x: number) => `${(100 * x).toFixed(0)} %`;
    const quoted = groups.map(([name]) => {
      const group = of(name);
      return `| ${name} | ${group.members.length} | ${sign(group.bias)} | ${group.scatter.toFixed(2)} |`;
    });
    quoted.push(
      `bias ${sign(bias)} s, correlation ${r.toFixed(3)}, scatter ${scatter(errors).toFixed(2)} s`,
      `${like.pairs} pairs of cars that agree in both within 2 % differ with a scatter of ${like.scatter.toFixed(2)} s`,
      `correlation ${correlation(fit.times, measured).toFixed(3)} and scatter ${scatter(fit.times.map((t, i) => t - measured[i])).toFixed(2)} s`,
      `weight to the power ${fit.weight.toFixed(2)} and power to the power −${Math.abs(fit.power).toFixed(2)}`,
      `${ours.weight.toFixed(2)} and −${Math.abs(ours.power).toFixed(2)}`,
      `The year explains ${percent(sharedBy((car) => car.year))} of the variance of the misses, the cylinders ${percent(sharedBy((car) => car.cylinders))}, the origin ${percent(sharedBy((car) => car.origin))}`,
      `weight per power, in steps of 5 lb/hp, ${percent(sharedBy((car) => Math.floor(poundsPerHorse(car) / 5)))}`,
    );
    if (process.env['CHARTS']) console.log(quoted.join('\n'));
    expect(quoted.filter((text) => !docs.includes(text))).toEqual([]);
  });

  it('is drawn in docs/img/zero-to-sixty.svg', async () => {
    const svg = await scatterChart(cars);
    expect(await scatterChart(cars)).toBe(svg);
    const file = new URL('../../docs/img/zero-to-sixty.svg', import.meta.url);
    if (process.env['CHARTS']) {
      mkdirSync(new URL('.', file), { recursive: true });
      writeFileSync(file, svg);
    }
    expect(readFileSync(file, 'utf8') === svg, 'run with CHARTS=1 to draw it anew').toBe(true);
  });
});
