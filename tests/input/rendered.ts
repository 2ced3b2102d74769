import { expect, test } from 'vitest';
import { check, checkFiles } from '../../src/cli/check.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { renderDiagnostic } from '../../src/input/render-diagnostic.ts';
import { goodFiles } from '../fixtures/good-files.ts';

type Files = Readonly<Record<string, string | Uint8Array>>;

/** Spoilt files, and the lines that must be said about the first of them (or about `paths`). */
function expectLines(
  name: string,
  files: Files,
  lines: readonly string[],
  paths: readonly string[] | undefined,
  status: number,
): void {
  test(name, () => {
    const access = memoryFiles({ ...goodFiles, ...files });
    const named = paths ?? Object.keys(files).slice(0, 1);
    const texts = checkFiles(named, access).diagnostics.map(renderDiagnostic);
    expect(texts.join('\n').split('\n').slice(0, -1)).toEqual(lines);
    expect(check(named, access).status).toBe(status);
  });
}

/** Tests that files are refused with exactly these lines, carets included. The sound files stand beside them. */
export function refuses(
  name: string,
  files: Files,
  lines: readonly string[],
  paths?: readonly string[],
): void {
  expectLines(name, files, lines, paths, 2);
}

/** Tests that files are accepted with exactly these warnings. */
export function warns(name: string, files: Files, lines: readonly string[], paths?: readonly string[]): void {
  expectLines(name, files, lines, paths, 0);
}
