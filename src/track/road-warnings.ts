import type { Faults } from '../input/faults.ts';
import type { RoadRows } from './road-rows.ts';

// From full fall one way to full fall the other is about 5 deg on ordinary roads. Common practice, no source.
const STEP_DEG = 5;

/** Warns of crossfall that jumps between rows; `isStep(i)` tells whether row i begins where row i − 1 ends. */
export function warnCrossfallSteps(
  fall: Float64Array,
  isStep: (i: number) => boolean,
  rows: RoadRows,
  faults: Faults,
): void {
  for (let i = 1; i < fall.length; i++) {
    if (!isStep(i) || Math.abs(fall[i] - fall[i - 1]) <= STEP_DEG) continue;
    faults.warning(
      'road/crossfall-step',
      rows.place(i, 'crossfall_deg', 'road/crossfall-step'),
      `crossfall_deg jumps from ${fall[i - 1]} to ${fall[i]} deg at one place`,
      'the jump stands as written; rows between would spread it over some metres',
    );
  }
}
