import { describe, it } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { G } from '../../src/track/road.ts';
import { carWith, gripOf, roadTable, stageOn } from '../helpers/build.ts';
import { atEnd, atStation, driveFree, peak } from '../helpers/drive.ts';
import { Validation } from '../helpers/validation.ts';

const validation = new Validation('fixed-path');
const tyre = (along: number, across = along) => ({ radius: null, grip: gripOf(along, across) });

describe('A: straight between two hairpins', () => {
  const section = '8A Straight of 150 m between two hairpins of R 12 m, grip 0.9';
  const step = 0.01;
  const common = { section, source: 'v_p² = v₀² + a L, T = 2(v_p − v₀)/a', mark: 'D', step } as const;
  const k = 1 / 12;
  const turn = 12 * Math.PI;
  const table = roadTable([
    { s: 0, k },
    { s: turn, k },
    { s: turn },
    { s: turn + 150 },
    { s: turn + 150, k },
    { s: 2 * turn + 150, k },
  ]);
  const splits = [turn, turn + 75, turn + 150];
  const stage = stageOn(table, { startSpeed: Math.sqrt(0.9 * G * 12), splits });
  const { run, sectors, time } = timeStage(carWith({ tyre: tyre(0.9) }), stage, { step });

  it('speeds', () => {
    const { v } = atStation(run, turn);
    validation.check({ ...common, check: 'hairpin', expected: '10.291347', got: v, unit: 'm/s' });
    validation.check({ ...common, check: 'half way', expected: '37.812823', got: peak(run).v, unit: 'm/s' });
  });
  it('times', () => {
    const straight = sectors[1].time + sectors[2].time;
    validation.check({ ...common, check: 'straight', expected: '6.236466', got: straight, unit: 's' });
    validation.check({
      ...common,
      check: 'half-turn',
      expected: '3.663185',
      got: sectors[0].time,
      unit: 's',
    });
    validation.check({ ...common, check: 'whole', expected: '13.562836', got: time ?? NaN, unit: 's' });
  });
});

describe.each([
  {
    name: '8B Circle from rest: R 50 m, grip 1',
    source: 'u = a R sin(2s/R); t = (ϖ/2)√(R/a)',
    along: 1,
    across: 1,
    radius: 50,
    expected: { s: '39.269908', t: '2.960308', v: '22.143453', early: '15.657786' },
  },
  {
    name: '8C Circle from rest with a friction ellipse: R 40 m, 7 m/s² along, 9 m/s² across',
    source: 's = π R a_y/(4 a_x), t = (ϖ/2)√(a_y R)/a_x',
    along: 7 / G,
    across: 9 / G,
    radius: 40,
    expected: { s: '40.391906', t: '3.553575', v: '18.973666', early: null },
  },
])('$name', ({ name: section, source, along, across, radius, expected }) => {
  const step = 0.0005;
  const common = { section, source, mark: 'D', step } as const;
  const k = 1 / radius;
  const at = Number(expected.s);
  const early = (Math.PI * radius) / 12;
  const table = roadTable([
    { s: 0, k },
    { s: at + 1, k },
  ]);
  const spec = carWith({ tyre: tyre(along, across) });
  const { run } = timeStage(spec, stageOn(table, { splits: [early, at] }), { step });

  it('reaches the limit', () => {
    // 1 − u/(a R) = 1 − sin(2s/R): an angle that falls to 0 along a line, told by two nodes before it.
    const limit = across * G * radius;
    const lack = (i: number) => Math.asin(Math.sqrt((1 - run.v2[i] / limit) / 2));
    const [i, j] = [4, 2].map((before) => run.road.s.findIndex((s) => s >= at - before));
    const s = run.road.s[j] + ((run.road.s[j] - run.road.s[i]) * lack(j)) / (lack(i) - lack(j));
    validation.check({ ...common, check: 'arc to the limit', expected: expected.s, got: s, unit: 'm' });
    const { t, v } = atStation(run, at);
    validation.check({ ...common, check: 'time to the limit', expected: expected.t, got: t, unit: 's' });
    validation.check({ ...common, check: 'speed at the limit', expected: expected.v, got: v, unit: 'm/s' });
    if (expected.early) {
      const { v: v1 } = atStation(run, early);
      validation.check({
        ...common,
        check: 'speed after 15° of arc',
        expected: expected.early,
        got: v1,
        unit: 'm/s',
      });
    }
  });

  it('stops from the limit in the same way', () => {
    // Backwards: the same circle, driven to a stop.
    const back = roadTable([
      { s: 0, k },
      { s: at, k },
      { s: at, k: 1e18 },
      { s: at + 1e-9, k: 1e18 },
    ]);
    const forecast = timeStage(
      spec,
      stageOn(back, { startSpeed: Number(expected.v) * (1 - 1e-7), splits: [at] }),
      { step },
    );
    const t = forecast.sectors[0].time;
    validation.check({
      ...common,
      check: 'stop from the limit in the same arc',
      expected: expected.t,
      got: t,
      unit: 's',
    });
  });
});

describe('E: braking along a clothoid', () => {
  const step = 0.002;
  const mark = 'D';
  const source = 'dU/dσ = −2√(1 − σ²U²), U(σ_e) = 1/σ_e';
  const clothoid = (length: number, radius: number) =>
    roadTable([
      { s: 0, k: 0 },
      { s: length, k: 1 / radius },
    ]);

  it.each([
    { end: 0.5, U: '2.755573', tau: '0.329750' },
    { end: 1.0, U: '2.333196', tau: '0.829012' },
    { end: 1.5, U: '2.320381', tau: '1.405292' },
  ])('σ_e $end', ({ end, U, tau }) => {
    // Driven at ℓ = 20 m and grip 1, then made free of units.
    const size = 20;
    const run = driveFree(carWith(), clothoid(end * size, size / end), step);
    const section =
      '8E Braking along a clothoid κ = c s to its end, without units (driven at c^(−1/2) = 20 m, grip 1)';
    const common = { section, source, mark, step, unit: '–' } as const;
    const { t } = atEnd(run);
    validation.check({
      ...common,
      check: `σ_e ${end.toFixed(1)}, U at the start`,
      expected: U,
      got: run.v2[0] / (G * size),
    });
    validation.check({
      ...common,
      check: `σ_e ${end.toFixed(1)}, τ`,
      expected: tau,
      got: t * Math.sqrt(G / size),
    });
  });

  it('30 m to R 25 m at grip 0.85', () => {
    const run = driveFree(carWith({ tyre: tyre(0.85) }), clothoid(30, 25), step);
    const section = '8E Braking along a clothoid of 30 m to R 25 m, grip 0.85';
    const common = { section, source, mark, step } as const;
    const { t, v } = atEnd(run);
    validation.check({
      ...common,
      check: 'start',
      expected: '23.040962',
      got: Math.sqrt(run.v2[0]),
      unit: 'm/s',
    });
    validation.check({ ...common, check: 'end', expected: '14.435765', got: v, unit: 'm/s' });
    validation.check({ ...common, check: 'time', expected: '1.690361', got: t, unit: 's' });
  });
});

describe('E2: a whole corner', () => {
  const section =
    '8E2 Corner: straight 60 m, clothoid 30 m, arc of R 25 m (90° in all), clothoid 30 m, straight 60 m; grip 0.85';
  const step = 0.002;
  const common = {
    section,
    source: 'E with a straight before it, and its mirror image',
    mark: 'D',
    step,
  } as const;
  const k = 1 / 25;
  const arc = 25 * (Math.PI / 2) - 30; // each clothoid turns 30/(2·25) rad
  const table = roadTable([
    { s: 0 },
    { s: 60 },
    { s: 90, k },
    { s: 90 + arc, k },
    { s: 120 + arc },
    { s: 180 + arc },
  ]);
  const run = driveFree(carWith({ tyre: tyre(0.85) }), table, step);

  it('times the corner', () => {
    const { s, t, v } = atEnd(run);
    validation.check({ ...common, check: 'length', expected: '189.269908', got: s, unit: 'm' });
    validation.check({ ...common, check: 'time', expected: '7.883187', got: t, unit: 's' });
    validation.check({
      ...common,
      check: 'start',
      expected: '39.130094',
      got: Math.sqrt(run.v2[0]),
      unit: 'm/s',
    });
    validation.check({
      ...common,
      check: 'arc',
      expected: '14.435765',
      got: atStation(run, 90).v,
      unit: 'm/s',
    });
    validation.check({ ...common, check: 'finish', expected: '39.130094', got: v, unit: 'm/s' });
  });
});

describe('G: hairpins with downforce and drag', () => {
  const section =
    '8G Straight of 250 m between hairpins of R 15 m: 1000 kg, grip 1.2, CdA 1.0 m², ClA 2.0 m², air 1.2 kg/m³';
  const step = 0.002;
  const common = {
    section,
    source: 'u′ = 2(mu g + (mu k_L − k_D) u), braking −2(mu g + (mu k_L + k_D) u)',
    mark: 'D',
    step,
  } as const;
  const air = 1.2;
  const spec = carWith({ tyre: tyre(1.2), dragArea: 1, downforceArea: 2 });
  const kD = (air * 1) / 2000;

  it('times the straight', () => {
    // The speed that the hairpin holds, drag included: half way round a long one.
    const round = driveFree(
      spec,
      roadTable([
        { s: 0, k: 1 / 15 },
        { s: 400, k: 1 / 15 },
      ]),
      1,
      air,
    );
    const corner = Math.sqrt(round.v2[round.nodes >> 1]);
    validation.check({
      ...common,
      check: 'hairpin',
      source: '(v²/R)² + (k_D v²)² = mu² (g + k_L v²)²',
      expected: '13.431650',
      got: corner,
      unit: 'm/s',
      step: 1,
    });
    // A car may enter the next hairpin at its limit without drag and lose the rest in it. The source lets it come in at
    // the speed held throughout: the limit of a bend tighter by this much.
    const k = Math.hypot(1 / 15, kD);
    const table = roadTable([{ s: 0 }, { s: 250 }, { s: 250, k }, { s: 251, k }]);
    const stage = stageOn(table, { startSpeed: corner, airDensity: air, splits: [134.262828, 250] });
    const { run, sectors } = timeStage(spec, stage, { step });
    const { s, v } = peak(run);
    validation.check({ ...common, check: 'braking begins', expected: '134.262828', got: s, unit: 'm' });
    validation.check({ ...common, check: 'speed there', expected: '61.407063', got: v, unit: 'm/s' });
    validation.check({
      ...common,
      check: 'time',
      expected: '6.935497',
      got: sectors[1].runningTime,
      unit: 's',
    });
  });
});

validation.compareWithDocs();
