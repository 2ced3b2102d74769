/** Files of a new stage: all of them or none, and never over what is there unless that is asked for. */
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { escaped } from '../input/render-diagnostic.ts';
import { type FileToWrite, writeAllWhole } from './write-whole.ts';

/** @returns null once they are written; else what to tell */
export function writeNew(files: readonly FileToWrite[], folder: string, force: boolean): string | null {
  const there = files.filter(({ path }) => existsSync(path));
  const directory = there.find(({ path }) => statSync(path).isDirectory());
  if (directory !== undefined)
    return `${escaped(directory.path)} is a folder\nhelp: choose another --name or file\nnothing written\n`;
  if (there.length > 0 && !force) {
    const names = there.map(({ path }) => escaped(path)).join(', ');
    return `${names} ${there.length === 1 ? 'is' : 'are'} there already\nhelp: add --force to write over it, or choose another --out or --name\nnothing written\n`;
  }
  try {
    mkdirSync(folder, { recursive: true });
    writeAllWhole(files);
    return null;
  } catch (error) {
    const { code, path } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return `${escaped(path ?? folder)}: cannot be written: ${code}\nhelp: check the folder and your rights in it\nnothing written\n`;
  }
}

/** A file name that every system takes: small letters, digits and hyphens. */
export function fileName(name: string): string {
  const plain = name.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  return (
    plain
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'stage'
  );
}
