import { expect, test } from 'vitest';
import type { Diagnostic } from '../../src/input/diagnostic.ts';
import { renderDiagnostic } from '../../src/input/render-diagnostic.ts';

const diagnostic = (part: Partial<Diagnostic>): Diagnostic => ({
  severity: 'error',
  code: 'test/code',
  message: 'mass is 1390',
  help: 'write `mass: 1390 kg`',
  file: 'car.yaml',
  line: 2,
  col: 7,
  length: 4,
  source: 'mass: 1390',
  ...part,
});

const lines = (part: Partial<Diagnostic>) => renderDiagnostic(diagnostic(part)).split('\n');

test('a fault with its place', () => {
  expect(lines({})).toEqual([
    'car.yaml:2:7: error: mass is 1390 [test/code]',
    '',
    '  2 | mass: 1390',
    '    |       ^^^^',
    'help: write `mass: 1390 kg`',
    '',
  ]);
});

test('a fault of a whole file', () => {
  expect(lines({ line: 0, col: 0, severity: 'warning' })).toEqual([
    'car.yaml: warning: mass is 1390 [test/code]',
    'help: write `mass: 1390 kg`',
    '',
  ]);
});

test('tabs move the caret as they move the text', () => {
  expect(lines({ source: '\tmass:\t1390', col: 8 }).slice(2, 4)).toEqual([
    '  2 |     mass:    1390',
    '    |              ^^^^',
  ]);
});

test('wide letters count two columns, combining marks none', () => {
  expect(lines({ source: '車: e\u0301 1390', col: 7 }).slice(2, 4)).toEqual([
    '  2 | 車: e\u0301 1390',
    '    |       ^^^^',
  ]);
});

test('what would command the terminal is shown and not sent', () => {
  const hostile = 'x\u001b[2J\u0007\r\u202e\u009b31m\u2028';
  const text = renderDiagnostic(
    diagnostic({ source: hostile, message: hostile, help: hostile, file: hostile, col: 1, length: 1 }),
  );
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  expect(text.replaceAll('\n', '')).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u2028\u202e]/);
  expect(text.split('\n')[2]).toBe('  2 | x\\x1b[2J\\x07\\x0d\\u202e\\x9b31m\\u2028');
});

test('a line of a megabyte is cut round its caret', () => {
  const source = `${'a'.repeat(500_000)}1390${'b'.repeat(500_000)}`;
  const [, , line, caret] = lines({ source, col: 500_001 });
  expect(line.length).toBeLessThan(110);
  expect(line).toMatch(/^ {2}2 \| …a+1390b+…$/);
  expect(caret.indexOf('^')).toBe(line.indexOf('1390'));
  expect(caret.match(/\^+/)?.[0]).toBe('^^^^');
});

test('a mark longer than the shown part ends with it', () => {
  const [, , line, caret] = lines({ source: 'x'.repeat(5000), col: 10, length: 4000 });
  expect(caret.length).toBeLessThanOrEqual(line.length);
});

test('a character of two units is not cut in two', () => {
  const [, , line] = lines({ source: `${'😀'.repeat(300)}1390`, col: 601 });
  expect(line).toMatch(/^ {2}2 \| …\u{1f600}+1390$/u);
});
