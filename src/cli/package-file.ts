import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** A file that comes with the package, from the sources as from the built bundle. @param path from the package's root */
export function packageFile(path: string): string {
  const roots = ['../', '../../'].map((up) => new URL(up, import.meta.url));
  const root = roots.find((url) => existsSync(new URL('package.json', url)))!;
  return fileURLToPath(new URL(path, root));
}
