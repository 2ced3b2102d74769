// Prints the tables "Measured" of docs/model.md: error of the time against step, on the example stages. Needs a build.
import { fileURLToPath } from 'node:url';
import { readCar, readStage, timeStage } from '../dist/index.js';

const STEPS = [2, 1, 0.5, 0.25];
const REFERENCE = 0.05; // [m]
const folder = fileURLToPath(new URL('../stages/tarvenmoor/', import.meta.url));
const car = readCar(`${folder}car.yaml`);
const free = { ...car, rotating: null, massFactor: 1.05, driveline: { ...car.driveline, shift: 0 } };

for (const [title, spec] of [
  ['shift time 0, one mass factor', free],
  ['the whole model', car],
]) {
  console.log(`\n| ${title} | time at ${REFERENCE} m [s] | ${STEPS.map((h) => `${h} m`).join(' | ')} |`);
  console.log(`| --- | --: |${STEPS.map(() => ' --: |').join('')}`);
  for (const name of ['aldervane-wood', 'tarven-moor', 'skorrick-climb']) {
    const stage = readStage(`${folder}${name}.yaml`);
    const time = (step) => timeStage(spec, stage, { step }).time;
    const reference = time(REFERENCE);
    const errors = STEPS.map((h) => ((time(h) / reference - 1) * 1e6).toFixed(0));
    console.log(`| ${stage.name} | ${reference.toFixed(4)} | ${errors.join(' | ')} |`);
  }
}
