import { describe, expect, it } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { carWith, type Row, roadTable, stageOn } from '../helpers/build.ts';

/** Where the slow bends of a road lie [m], in order; curvatures hold over lengths, after 200 m of straight. */
function bendsOf(pieces: readonly (readonly [length: number, curvature: number])[]): number[] {
  const rows: Row[] = [{ s: 0 }, { s: 200 }];
  let s = 200;
  for (const [length, k] of [...pieces, [300, 0] as const]) {
    rows.push({ s: s + 1, k });
    s += length;
    rows.push({ s, k });
  }
  const { watch } = timeStage(carWith({}), stageOn(roadTable(rows), { startSpeed: 20 }));
  return watch.slowestBends.map(({ at }) => Math.round(at)).sort((a, b) => a - b);
}

describe('a slow bend', () => {
  it('is one however often it tightens, at its tightest', () => {
    // Tight, opening over 80 m to a radius of 100 m, tighter again.
    const bends = bendsOf([
      [30, 0.04],
      [80, 0.01],
      [30, 0.05],
    ]);
    expect(bends).toHaveLength(1);
    expect(bends[0]).toBeGreaterThanOrEqual(310);
    expect(bends[0]).toBeLessThanOrEqual(340);
  });

  it('is another after a straight, and where the road turns to the other side', () => {
    const two = [30, 0.04] as const;
    expect(bendsOf([two, [80, 0], two])).toHaveLength(2);
    expect(bendsOf([two, [10, 0], two])).toHaveLength(1);
    expect(bendsOf([two, [10, 0], [30, -0.04]])).toHaveLength(2);
  });
});
