import { existsSync, readdirSync, readFileSync } from 'node:fs';

/** Real data that lies beside the repository and is no part of it; tests that use it skip where it is not. */
const folder = new URL('../../../shared/data/', import.meta.url);

/** The text of a file of the shared data. @returns null where the data is not here */
export function sharedText(path: string): string | null {
  const file = new URL(path, folder);
  return existsSync(file) ? readFileSync(file, 'utf8') : null;
}

/** The texts of the CSV files of a folder, by name; empty where the data is not here. */
export function sharedTables(path: string): string[] {
  const at = new URL(path, folder);
  if (!existsSync(at)) return [];
  const names = readdirSync(at).filter((name) => name.endsWith('.csv'));
  return names.sort().map((name) => readFileSync(new URL(name, at), 'utf8'));
}

/** Names of the files of a folder that end so; empty where the data is not here. */
export function sharedNames(path: string, ending: string): string[] {
  const at = new URL(path, folder);
  return existsSync(at)
    ? readdirSync(at)
        .filter((name) => name.endsWith(ending))
        .sort()
    : [];
}
