/** How the readers get at files: the command gives them the disk, a page or a test gives them a map of texts. */
export interface FileAccess {
  /**
   * The bytes of a file.
   * @param limit most bytes the caller will take; an implementation should refuse before reading more
   * @throws an Error with a `code` as Node gives it: ENOENT, EISDIR, EACCES; EFBIG for a file over the limit
   */
  read(path: string, limit: number): Uint8Array;
}

// Files written by hand are a few kB; this is some 2500 lines, and garbage of this size is refused within seconds.
// Common practice, no source.
export const YAML_LIMIT = 100_000;
// A road of 1000 km at 1 m is about 50 MB. Common practice, no source.
export const TABLE_LIMIT = 64_000_000;

/** The path of `name` as written inside the file `base`: taken from the folder that `base` lies in. */
export function beside(base: string, name: string): string {
  if (/^([/\\]|[A-Za-z]:[/\\])/.test(name)) return name;
  const folderEnd = Math.max(base.lastIndexOf('/'), base.lastIndexOf('\\')) + 1;
  return base.slice(0, folderEnd) + name.replace(/^(\.\/)+/, '');
}

/** File access over texts held in memory, keyed by path: for pages, tests and examples. */
export function memoryFiles(texts: Readonly<Record<string, string | Uint8Array>>): FileAccess {
  return {
    read(path, limit) {
      const held = Object.hasOwn(texts, path) ? texts[path] : undefined;
      if (held === undefined) throw Object.assign(new Error(`no such file: ${path}`), { code: 'ENOENT' });
      const bytes = typeof held === 'string' ? new TextEncoder().encode(held) : held;
      if (bytes.length > limit) throw Object.assign(new Error(`too large: ${path}`), { code: 'EFBIG' });
      return bytes;
    },
  };
}
