/**
 * Readers and forecast in a page: bundled as for a browser and run where there is the language and nothing of Node,
 * under what a content security policy without unsafe-eval forbids.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import { rolldown } from 'rolldown';
import { beforeAll, expect, it } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { timeStage } from '../../src/sim/time-stage.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { readCar } from '../../src/vehicle/read-car.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = `${root}stages/tarvenmoor/`;
const texts: Record<string, string> = {};
for (const name of readdirSync(folder)) texts[name] = readFileSync(folder + name, 'utf8');
const cars = ['car.yaml', 'car-gravel.yaml', 'car-asphalt.yaml'];
const stages = ['aldervane-wood.yaml', 'tarven-moor.yaml', 'skorrick-climb.yaml'];

const entry = `
import { memoryFiles } from '${root}src/input/file-access.ts';
import { renderDiagnostic } from '${root}src/input/render-diagnostic.ts';
import { timeStage } from '${root}src/sim/time-stage.ts';
import { readStage } from '${root}src/track/read-stage.ts';
import { readCar } from '${root}src/vehicle/read-car.ts';
export function time(texts, car, stage) {
  const files = memoryFiles(texts);
  return timeStage(readCar(car, files), readStage(stage, files)).time;
}
export function faultsOf(texts, car) {
  try {
    readCar(car, memoryFiles(texts));
    return '';
  } catch (error) {
    return error.diagnostics.map(renderDiagnostic).join('');
  }
}
`;

interface Page {
  time(texts: Record<string, string>, car: string, stage: string): number | null;
  faultsOf(texts: Record<string, string>, car: string): string;
}

let page: Page;
let evals: () => number;

beforeAll(async () => {
  const bundle = await rolldown({
    input: 'page',
    platform: 'browser',
    tsconfig: false,
    resolve: { alias: { 'csv-parse/sync': `${root}node_modules/csv-parse/dist/esm/sync.js` } },
    plugins: [
      {
        name: 'entry',
        resolveId: (id) => (id === 'page' ? id : null),
        load: (id) => (id === 'page' ? entry : null),
      },
    ],
    onLog: (_level, log) => {
      throw new Error(log.message); // an import that a browser cannot resolve, for one
    },
  });
  const { output } = await bundle.generate({ format: 'iife', name: 'page' });
  // The names that browsers have beside the language, as far as they are used here.
  const context = createContext(
    { TextDecoder, TextEncoder },
    { codeGeneration: { strings: false, wasm: false } },
  );
  runInContext(
    `let evals = 0;
     globalThis.Function = new Proxy(Function, {
       construct(made, parts) { evals++; return new made(...parts); },
       apply(made, self, parts) { evals++; return made.apply(self, parts); },
     });`,
    context,
  );
  runInContext(output[0].code, context);
  page = runInContext('page', context) as Page;
  evals = () => runInContext('evals', context) as number;
});

it('has a place to run that knows no Node and evaluates no text', () => {
  const context = createContext({}, { codeGeneration: { strings: false, wasm: false } });
  expect(runInContext('typeof process + typeof Buffer + typeof require', context)).toBe(
    'undefined'.repeat(3),
  );
  expect(() => runInContext('new Function("return 1")', context)).toThrow(/Code generation from strings/);
});

it.each(cars.flatMap((car) => stages.map((stage) => ({ car, stage }))))(
  'times $car over $stage as Node does, to the last bit',
  ({ car, stage }) => {
    const files = memoryFiles(texts);
    const { time } = timeStage(readCar(car, files), readStage(stage, files));
    expect(time).toBeGreaterThan(100);
    expect(page.time(texts, car, stage)).toBe(time);
  },
);

it('shows faults', () => {
  const bad = { ...texts, 'car.yaml': texts['car.yaml'].replace(/^mass: .*$/m, 'mass: 1390') };
  expect(page.faultsOf(bad, 'car.yaml')).toContain('mass is 1390, which has no unit; expected a mass');
});

it('tries no evaluation of text', () => {
  expect(evals()).toBe(0);
});
