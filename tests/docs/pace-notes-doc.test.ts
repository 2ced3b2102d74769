import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { readCalls } from '../../src/track/pace-notes-calls.ts';
import { readScale, scaleKeys } from '../../src/track/pace-notes-scale.ts';
import { roadOf } from '../helpers/notes.ts';

const page = readFileSync(new URL('../../docs/pace-notes.md', import.meta.url), 'utf8');
const examples = Object.fromEntries(
  [...page.matchAll(/^`([\w-]+\.(?:yaml|csv))`\n\n```\w+\n([\s\S]*?)```$/gm)].map(([, name, text]) => [
    name,
    text,
  ]),
);

test('the examples of the page make a road as long as called', () => {
  const files = memoryFiles(examples);
  const faults = new Faults();
  const scale = readScale('scale.yaml', files, faults)!;
  const list = readCalls('calls.csv', files, scale, faults)!;
  expect(faults.all()).toEqual([]);
  expect(scale.numbers).toEqual({ tightest: '1', gentlest: '6' });
  const { table } = roadOf({ scale, list });
  expect(table.s.at(-1)).toBeCloseTo(1240, 9);
  expect(table.surfaceNames).toEqual(['gravel', 'asphalt']);
});

test('the page has every key of a scale', () => {
  for (const key of scaleKeys) expect(page).toContain(`\`${key}\``);
});
