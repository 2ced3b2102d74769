/**
 * `odex`, a general solver of ordinary differential equations (extrapolation by Hairer and Wanner), with the types
 * that the tests use: those of the package itself do not pass strict checks.
 */
import { createRequire } from 'node:module';

interface OdexSolver {
  absoluteTolerance: number | number[];
  relativeTolerance: number | number[];
  initialStepSize: number;
  maxSteps: number;
  solve(
    derivative: (x: number, y: number[]) => number[],
    x: number,
    y: number[],
    xEnd: number,
  ): { readonly y: number[]; readonly outcome: number };
}

const odex = createRequire(import.meta.url)('odex') as {
  readonly Solver: new (size: number) => OdexSolver;
  readonly Outcome: { readonly Converged: number };
};

/** Integrates y' = f(x, y) from x to xEnd with tight tolerances. @throws Error where odex gives up */
export function integrate(
  derivative: (x: number, y: number[]) => number[],
  x: number,
  y: number[],
  xEnd: number,
  tolerance = 1e-11,
): number[] {
  const solver = new odex.Solver(y.length);
  solver.relativeTolerance = tolerance;
  solver.absoluteTolerance = tolerance;
  solver.initialStepSize = (xEnd - x) / 4;
  solver.maxSteps = 100_000;
  const { y: end, outcome } = solver.solve(derivative, x, y, xEnd);
  if (outcome !== odex.Outcome.Converged) throw new Error(`odex stopped between ${x} and ${xEnd}`);
  return end;
}
