/** Garbage, and sound files with random slips: refused in bounded time, and never with anything but an InputError. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { check } from '../../src/cli/check.ts';
import { InputError } from '../../src/input/diagnostic.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { elements, goodFiles, points, stage, stations } from '../fixtures/good-files.ts';

/** A repeatable stream of characters. */
function noise(length: number, letters: string): string {
  let seed = 1;
  let text = '';
  for (let i = 0; i < length; i++) {
    seed = (Math.imul(seed, 1103515245) + 12345) & 0x7fffffff;
    text += letters[(seed >> 8) % letters.length];
  }
  return text;
}

const printable = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join('');

test.each([
  ['10 MB of noise', 'road.csv', noise(1e7, `${printable}\n`)],
  ['10 MB of numbers and commas', 'road.csv', `station_m,curvature_1pm,surface\n${noise(1e7, '0123,.\n')}`],
  ['10 MB of commas', 'road.csv', `station_m,curvature_1pm,surface\n${','.repeat(1e7)}`],
  ['a line of 10 MB', 'road.csv', 'x'.repeat(1e7)],
  ['an open quote before 10 MB', 'road.csv', `station_m,curvature_1pm,surface\n"${'a\n'.repeat(5e6)}`],
  [
    '100 000 surfaces',
    'road.csv',
    `station_m,curvature_1pm,surface\n${Array.from({ length: 1e5 }, (_, i) => `${i},0,s${i}\n`).join('')}`,
  ],
  ['100 kB of noise as YAML', 'car.yaml', noise(99_000, `${printable}\n`)],
  ['100 kB of the letters of YAML', 'car.yaml', noise(99_000, 'ab: -\n')],
  ['anchors without end', 'car.yaml', '&a '.repeat(33_000)],
  [
    'keys without end',
    'car.yaml',
    `car: x\n${Array.from({ length: 8000 }, (_, i) => `a${i}: {}\n`).join('')}`,
  ],
  ['one key 20 000 times', 'car.yaml', 'a: 1\n'.repeat(19_800)],
  ['gears without end', 'car.yaml', `driveline: {gears: [${'1,'.repeat(45_000)}]}`],
])('%s is refused in bounded time', (_, file, text) => {
  const began = performance.now();
  const { status, text: said } = check([file], memoryFiles({ ...goodFiles, [file]: text }));
  expect(status).toBe(2);
  expect(said.length).toBeLessThan(30_000);
  // Each takes a second or two; the bound allows for a machine that is busy with something else.
  expect(performance.now() - began).toBeLessThan(30_000);
});

const seed = 20_260_318;

test('random slips in sound files end in an InputError or in a sound reading', () => {
  const roads = [stations, elements, points];
  const splice = fc.record({
    at: fc.nat({ max: 400 }),
    cut: fc.nat({ max: 8 }),
    put: fc.oneof(
      fc.string({ unit: 'binary', maxLength: 6 }),
      fc.constantFrom(
        ',',
        '"',
        '\n',
        ':',
        '- ',
        '[',
        '}',
        '&a',
        '*a',
        '!!',
        '1e999',
        '-',
        '0',
        'NaN',
        '__proto__',
        '\t',
        '# ',
        'null',
        '.inf',
        '<<: ',
      ),
    ),
  });
  const slips = fc.record({
    road: fc.constantFrom(...roads),
    file: fc.constantFrom('car.yaml', 'engine.csv', 'stage.yaml', 'road.csv'),
    splices: fc.array(splice, { minLength: 1, maxLength: 3 }),
    closed: fc.boolean(),
  });
  fc.assert(
    fc.property(slips, ({ road, file, splices, closed }) => {
      const files: Record<string, string> = {
        ...goodFiles,
        'road.csv': road,
        'stage.yaml': closed ? `${stage}closed: true\n` : stage,
      };
      let text = files[file];
      for (const { at, cut, put } of splices) {
        const i = at % (text.length + 1);
        text = text.slice(0, i) + put + text.slice(i + cut);
      }
      files[file] = text;
      const access = memoryFiles(files);
      for (const read of [() => readCar('car.yaml', access), () => readStage('stage.yaml', access)]) {
        try {
          read();
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
          expect((error as InputError).diagnostics.length).toBeGreaterThan(0);
        }
      }
      const { text: said } = check(['car.yaml', 'stage.yaml', 'road.csv', 'engine.csv'], access);
      // biome-ignore lint/suspicious/noControlCharactersInRegex: nothing may command the terminal
      expect(said.replaceAll('\n', '')).not.toMatch(/[\u0000-\u001f\u007f-\u009f]/);
    }),
    { seed, numRuns: 400 },
  );
});
