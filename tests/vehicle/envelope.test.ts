import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { reserve, reserveAhead } from '../../src/vehicle/envelope.ts';
import { carWith, gripOf, roadTable, stageOn } from '../helpers/build.ts';

describe('reserveAhead', () => {
  it('is the force that is left at the speed it leads to (seed 3101)', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const place = fc.record({
      mu: number(0.1, 1.5),
      n1: number(-0.01, 0.005),
      y0: number(-1, 1),
      y1: number(-1, 1),
      c: number(-5, 900),
      k: number(0.01, 4),
    });
    let solved = 0;
    const check = ({
      mu,
      n1,
      y0,
      y1,
      c,
      k,
    }: {
      mu: number;
      n1: number;
      y0: number;
      y1: number;
      c: number;
      k: number;
    }) => {
      const force = reserveAhead(mu, 1, 9.8, n1, y0, y1, c, k);
      if (force === 0) return;
      solved++;
      const left = reserve(mu, 1, 9.8, n1, y0, y1, c + k * force);
      expect(Math.abs(force - Math.sqrt(left))).toBeLessThan(1e-6 * (1 + force));
    };
    fc.assert(fc.property(place, check), { seed: 3101, numRuns: 2000 });
    expect(solved).toBeGreaterThan(200);
  });

  it('finds the way back where the step starts below standstill', () => {
    // Ice, radius 1 m, 10 % down, 2 m to go: even at rest the brakes must hold 0.98 of 1.18 m/s².
    const force = reserveAhead(0.12, 1, 9.8, 0, 0, 1, -2, 4);
    expect(force).toBeGreaterThan(0);
    expect(force).toBeCloseTo(Math.sqrt(reserve(0.12, 1, 9.8, 0, 0, 1, -2 + 4 * force)), 9);
  });
});

describe('a bend tighter than the step, downhill on ice', () => {
  it('is driven on a coarse grid as on a fine one', () => {
    const grade = -0.1;
    const table = roadTable([
      { s: 0, grade },
      { s: 20, grade },
      { s: 20, grade, k: 1 },
      { s: 24, grade, k: 1 },
      { s: 24, grade },
      { s: 40, grade },
    ]);
    const stage = stageOn(table, { startSpeed: 0.5 });
    const spec = carWith({ tyre: { radius: null, grip: gripOf(0.12) } });
    const coarse = timeStage(spec, stage, { step: 2 }).time!;
    const fine = timeStage(spec, stage, { step: 0.1 }).time!;
    expect(Math.abs(coarse / fine - 1)).toBeLessThan(0.05);
  });
});
