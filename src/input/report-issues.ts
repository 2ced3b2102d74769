import * as z from 'zod';
import type { Faults } from './faults.ts';
import { type FieldFault, unknownKeys } from './fields.ts';
import { wholeFile } from './source.ts';
import type { Path, YamlFile } from './yaml-file.ts';

/** A path as it reads in a sentence: `item 3 of driveline.gears`. */
export function keyName(path: Path): string {
  let name = '';
  for (const step of path) {
    if (typeof step === 'number') name = `item ${step + 1} of ${name}`;
    else name += name === '' ? String(step) : `.${String(step)}`;
  }
  return name;
}

function report(issues: readonly z.core.$ZodIssue[], file: YamlFile, faults: Faults, base: Path): void {
  for (const issue of issues) {
    const params = issue.code === 'custom' ? (issue.params as FieldFault | undefined) : undefined;
    if (params === undefined) throw new Error(`field without a text of its own: ${issue.message}`);
    if (faults.full(file.source.file, params.code)) {
      faults.error(params.code, wholeFile(file.source.file), '', ''); // counted, not shown
      continue;
    }
    const path = [...base, ...issue.path];
    const leaf = path.at(-1);
    const write = (example: string) =>
      typeof leaf === 'string' ? `\`${leaf}: ${example}\`` : `\`${example}\``;
    const parent = path.length > 1 && typeof leaf === 'string' ? path.at(-2) : undefined;
    const below = typeof parent === 'string' ? ` below \`${parent}:\`` : '';
    const { message, help } = params.say(keyName(path), write, below);
    faults.error(params.code, file.place(path, params.mark), message, help);
  }
}

/**
 * Reads each key of a file on its own, so that what is right can still be checked against other files.
 * @returns each value as its schema gives it; undefined where it is absent or wrong (reported)
 */
export function readKeys<S extends Record<string, z.ZodType>>(
  file: YamlFile,
  shape: S,
  faults: Faults,
): { [K in keyof S]: z.output<S[K]> | undefined } {
  const stray = z
    .unknown()
    .transform((value, ctx) => unknownKeys(value as Record<string, unknown>, Object.keys(shape), ctx));
  const strayKeys = stray.safeParse(file.data);
  if (!strayKeys.success) report(strayKeys.error.issues, file, faults, []);
  const read: Record<string, unknown> = {};
  for (const [key, schema] of Object.entries(shape)) {
    const value = Object.hasOwn(file.data, key) ? file.data[key] : undefined;
    const result = schema.safeParse(value);
    if (result.success) read[key] = result.data;
    else report(result.error.issues, file, faults, [key]);
  }
  return read as { [K in keyof S]: z.output<S[K]> | undefined };
}
