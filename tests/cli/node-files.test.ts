import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { check } from '../../src/cli/check.ts';
import { nodeFiles } from '../../src/cli/node-files.ts';
import type { FileAccess } from '../../src/input/file-access.ts';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-'));
afterAll(() => rmSync(folder, { recursive: true }));
const path = (name: string) => join(folder, name);
const said = (named: string, files: FileAccess = nodeFiles) =>
  check([named], files).text.replaceAll(folder, '.');

test('a file is read whole', () => {
  writeFileSync(path('a.csv'), 'station_m,curvature_1pm,surface\n0,0,gravel\n90,0,gravel\n');
  expect(said(path('a.csv'))).toBe('./a.csv: a road table, 0.090 km, gravel\n');
});

test('a folder is refused', () => {
  mkdirSync(path('b.yaml'));
  expect(said(path('b.yaml'))).toBe(
    './b.yaml: error: ./b.yaml is a folder, expected a file [file/directory]\nhelp: name a file inside it\n\n1 error, 0 warnings\n',
  );
});

test('an unreadable file is refused', () => {
  // Whoever runs the tests may be allowed to read everything, so the refusal is made here.
  const locked: FileAccess = {
    read() {
      throw Object.assign(new Error('permission denied'), { code: 'EACCES' });
    },
  };
  expect(said('c.yaml', locked)).toBe(
    'c.yaml: error: c.yaml may not be read [file/unreadable]\nhelp: give yourself the right to read it\n\n1 error, 0 warnings\n',
  );
});

test('a file over the limit is refused before it is read', () => {
  writeFileSync(path('d.yaml'), Buffer.alloc(10_000_000, 'garbage '));
  const began = performance.now();
  expect(said(path('d.yaml'))).toBe(
    './d.yaml: error: ./d.yaml is larger than 100 kB, the most that is read for this kind of file [file/too-large]\nhelp: is it the right file?\n\n1 error, 0 warnings\n',
  );
  expect(performance.now() - began).toBeLessThan(1000);
});

test('a device that never ends is refused', () => {
  expect(() => nodeFiles.read('/dev/zero', 1000)).toThrow(/over 1000 bytes/);
});

test('a path is taken from the folder of the file that names it', () => {
  mkdirSync(path('roads'));
  writeFileSync(path('roads/e.csv'), 'station_m,curvature_1pm,surface\n0,0,gravel\n90,0,gravel\n');
  writeFileSync(path('e.yaml'), 'stage: E\nroad: ./roads/e.csv\n');
  expect(said(path('e.yaml'))).toBe('./e.yaml: a stage, 0.090 km, 0 splits, gravel\n');
});
