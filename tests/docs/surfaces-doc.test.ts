import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { type Reference, rollingReference, surfaceReferences } from '../../src/numbers/surface-reference.ts';

const page = readFileSync(new URL('../../docs/surfaces.md', import.meta.url), 'utf8');

const cells = ({ value, least, most, source }: Reference) => [
  String(value),
  least === most ? '' : `${least} to ${most}`,
  source,
];

test('the table of surfaces is what is taken, row by row', () => {
  const rows = [...page.matchAll(/^\| (?!surface |-)(.*) \|$/gm)].map(([, row]) =>
    row.split('|').map((c) => c.trim()),
  );
  expect(rows).toEqual([
    ...surfaceReferences.map(({ names, rolling, adhesion }) => [
      names.join(', '),
      ...cells(rolling),
      ...(adhesion === null ? ['', '', ''] : cells(adhesion)),
    ]),
    ['any other name', ...cells(rollingReference('no such name')), '', '', ''],
  ]);
});

test('every value lies in its range', () => {
  for (const { rolling, adhesion } of surfaceReferences) {
    for (const reference of adhesion === null ? [rolling] : [rolling, adhesion]) {
      expect(reference.value).toBeGreaterThanOrEqual(reference.least);
      expect(reference.value).toBeLessThanOrEqual(reference.most);
    }
  }
});

test('names are read without case, and - and _ count as spaces', () => {
  expect(rollingReference('Loose_Gravel')).toBe(rollingReference('loose gravel'));
  expect(rollingReference(' wet-gravel')).toBe(rollingReference('wet gravel'));
});
