import { closeSync, fsyncSync, openSync, renameSync, unlinkSync, writeSync } from 'node:fs';

export interface FileToWrite {
  readonly path: string;
  readonly chunks: Iterable<string | Uint8Array>;
}

/** Writes a file wholly or not at all: into a temporary file beside it, then renamed. */
export function writeWhole(path: string, chunks: Iterable<string>): void {
  writeAllWhole([{ path, chunks }]);
}

/** Writes files that belong together: all are complete on the disk before the first takes its name. */
export function writeAllWhole(files: readonly FileToWrite[]): void {
  const written: { readonly temporary: string; readonly path: string }[] = [];
  try {
    for (const { path, chunks } of files) {
      const temporary = `${path}.${process.pid}.tmp`;
      const file = openSync(temporary, 'w');
      written.push({ temporary, path });
      try {
        for (const chunk of chunks) {
          if (typeof chunk === 'string') writeSync(file, chunk);
          else writeSync(file, chunk);
        }
        fsyncSync(file);
      } finally {
        closeSync(file);
      }
    }
    for (const { temporary, path } of written) renameSync(temporary, path);
  } catch (error) {
    for (const { temporary } of written) {
      try {
        unlinkSync(temporary);
      } catch {} // it has its name already, or never came to be
    }
    throw error;
  }
}
