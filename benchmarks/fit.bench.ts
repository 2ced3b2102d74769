// A road fitted to recorded positions a metre apart.
import { fitRoad } from '../src/track/survey/fit-road.ts';
import { NOISE, windingPass } from './fit-pass.ts';
import { check, line, quickest } from './measure.ts';

const options = { surface: 'gravel' };
const counts = [12_500, 25_000, 50_000, 100_000];
const passes = counts.map(windingPass);
const fits = passes.map((pass) => fitRoad([pass], options));
for (const [k, { found, refusal }] of fits.entries()) {
  if (refusal !== null) throw new Error(`refused: ${refusal.reason}`);
  check('noise across [m]', found.noiseAcross, NOISE, 0.03);
  check('length [m]', found.length / counts[k], 1, 0.002);
}
const least = counts.map((_, k) => quickest({ fit: () => fitRoad([passes[k]], options) }, 2).fit);
for (const [k, count] of counts.entries()) {
  line(`a road fitted to ${count} points`, least[k] / 1000, 's', count === 100_000 ? 5 : undefined);
}
const ideal = (counts[3] * Math.log(counts[3])) / (counts[1] * Math.log(counts[1]));
line('100000 points over 25000, by n log n', least[3] / least[1] / ideal, '×', 1.3);
