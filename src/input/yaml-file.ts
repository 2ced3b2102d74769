/** A file people write by hand, as YAML: its data, and where in the text each part of it stands. */
import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  type Node,
  parseDocument,
  visit,
  type YAMLError,
} from 'yaml';
import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import { type FileAccess, YAML_LIMIT } from './file-access.ts';
import { readSource, type Source, wholeFile } from './source.ts';
import { syntaxFault } from './yaml-syntax.ts';

export type Path = readonly PropertyKey[];

export interface YamlFile {
  readonly source: Source;
  readonly data: Readonly<Record<string, unknown>>;
  /** Where the value (or the key) at a path stands; of what is absent, the key that should hold it. */
  place(path: Path, part?: 'key' | 'value'): Place;
}

// Aliases let a short text stand for a huge one; no car or stage needs more than a few. Common practice, no source.
const MOST_ALIASES = 50;
// Deeper than this no key of ours lies (four levels); a bound for the parser, which recurses. No source.
const MOST_NESTED = 60;

/** Reads a YAML file that holds keys and values. @returns null where that fails; the faults are reported. */
export function readYaml(
  path: string,
  files: FileAccess,
  faults: Faults,
  namedAt: Place | null,
): YamlFile | null {
  const source = readSource(path, files, YAML_LIMIT, faults, namedAt);
  return source === null ? null : parseYaml(source, faults);
}

/** As `readYaml`, for text already at hand. */
export function parseYaml(source: Source, faults: Faults): YamlFile | null {
  const deep = tooDeep(source.text);
  if (deep !== null) {
    faults.error(
      'yaml/depth',
      source.place(deep, deep + 1),
      `lists or maps lie more than ${MOST_NESTED} deep in each other here`,
      'is this a car or stage file? docs/files.md shows whole ones',
    );
    return null;
  }
  const doc = parseDocument(source.text, {
    prettyErrors: false,
    uniqueKeys: false, // the parser's check takes quadratic time; ours is below
  });
  const [first] = [...doc.errors, ...doc.warnings];
  if (first !== undefined) {
    // One slip unsettles the rest of the text, so what the parser says after the first would only mislead.
    const { code, message, help } = syntaxFault(first.code, first.message);
    const [start, end] = faultRange(doc, first);
    faults.error(code, source.place(start, end), message, help);
    return null;
  }
  reportKeysTwice(doc, source, faults);
  const data = toData(doc, source, faults);
  if (data === undefined) return null;
  if (data === null) {
    faults.error(
      'file/empty',
      wholeFile(source.file),
      'the file holds no keys',
      'docs/files.md shows a whole example of each file',
    );
    return null;
  }
  if (typeof data !== 'object' || Array.isArray(data)) {
    const at = doc.contents?.range?.[0] ?? 0;
    const what = Array.isArray(data) ? 'a list' : 'text';
    faults.error(
      'yaml/no-keys',
      source.place(at, source.text.length),
      `the file holds ${what}, expected keys with values such as \`mass: 1390 kg\``,
      'docs/files.md shows a whole example of each file',
    );
    return null;
  }
  return {
    source,
    data: data as Record<string, unknown>,
    place: (at, part) => placeOf(doc, source, at, part ?? 'value'),
  };
}

/** The parser marks an open quote by the end of the file: mark the quote. */
function faultRange(doc: Document.Parsed, error: YAMLError): readonly [number, number] {
  const [start, end] = error.pos;
  if (error.code !== 'MISSING_CHAR' || !/quote/.test(error.message)) return [start, end];
  let open = start;
  visit(doc, {
    Scalar(_, scalar) {
      if (scalar.type?.startsWith('QUOTE') && scalar.range && scalar.range[0] < start) open = scalar.range[0];
    },
  });
  return [open, end];
}

function reportKeysTwice(doc: Document.Parsed, source: Source, faults: Faults): void {
  visit(doc, {
    Map(_, map) {
      const seen = new Set<string>();
      for (const { key } of map.items) {
        if (!isScalar(key) || !key.range) continue;
        const name = String(key.value);
        if (seen.has(name) && !faults.full(source.file, 'key/twice')) {
          faults.error(
            'key/twice',
            source.place(key.range[0], key.range[1]),
            `${name.slice(0, 40)} is already written above`,
            'keep one of the two',
          );
        }
        seen.add(name);
      }
    },
  });
}

function toData(doc: Document.Parsed, source: Source, faults: Faults): unknown {
  let aliases = 0;
  let at: readonly [number, number] = [0, 1];
  let lost: string | null = null;
  visit(doc, {
    Alias(_, alias) {
      aliases++;
      const unknown = lost === null && aliases <= MOST_ALIASES && alias.resolve(doc) === undefined;
      if (unknown) lost = alias.source;
      if ((unknown || aliases === 1) && alias.range) at = [alias.range[0], alias.range[1]];
    },
  });
  if (lost !== null) {
    const { code, message, help } = syntaxFault('BAD_ALIAS', lost);
    faults.error(code, source.place(at[0], at[1]), message, help);
    return undefined;
  }
  try {
    if (aliases > MOST_ALIASES) throw new ReferenceError('too many aliases');
    return doc.toJS({ maxAliasCount: MOST_ALIASES });
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    faults.error(
      'yaml/aliases',
      source.place(at[0], at[1]),
      `aliases (\`*name\`) make more than ${MOST_ALIASES} copies in this file`,
      'write the values out in place of `&name` and `*name`',
    );
    return undefined;
  }
}

/** Offset of the first place where brackets or indentation nest too deep, or null. */
function tooDeep(text: string): number | null {
  let open = 0;
  const indents: number[] = [];
  let lineStart = true;
  let indent = 0;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 10) {
      lineStart = true;
      indent = 0;
      continue;
    }
    if (lineStart) {
      // Spaces, and "- " or "? " that open a block within the line, count as indentation.
      if (c === 32) {
        indent++;
        continue;
      }
      while (indents.length > 0 && indents[indents.length - 1] >= indent) indents.pop();
      indents.push(indent);
      if (indents.length + open > MOST_NESTED) return i;
      if ((c === 45 || c === 63 || c === 58) && text.charCodeAt(i + 1) === 32) {
        indent++;
        continue;
      }
      lineStart = false;
    }
    if (c === 91 || c === 123) {
      if (++open + indents.length > MOST_NESTED) return i;
    } else if ((c === 93 || c === 125) && open > 0) open--;
  }
  return null;
}

function placeOf(doc: Document.Parsed, source: Source, path: Path, part: 'key' | 'value'): Place {
  let node: unknown = doc.contents;
  let key: Node | null = null;
  for (const [depth, step] of path.entries()) {
    if (isAlias(node)) node = node.resolve(doc);
    if (isMap(node)) {
      const pair = node.items.find((p) => String(isScalar(p.key) ? p.key.value : p.key) === String(step));
      if (pair === undefined) break;
      key = isNode(pair.key) ? pair.key : key;
      node = pair.value ?? pair.key;
    } else if (isSeq(node)) {
      const item = node.items[Number(step)];
      if (item === undefined) break;
      key = isNode(item) ? item : key;
      node = item;
    } else break;
    if (depth === path.length - 1) {
      const found =
        part === 'key' || !isNode(node) || !node.range || node.range[0] === node.range[1] ? key : node;
      if (found?.range) return source.place(found.range[0], found.range[1]);
    }
  }
  // Absent: the key that should hold it, or the first line of the file.
  if (key?.range) return source.place(key.range[0], key.range[1]);
  if (isMap(doc.contents)) {
    const first = doc.contents.items[0]?.key;
    if (isNode(first) && first.range) return source.place(first.range[0], first.range[1]);
  }
  return wholeFile(source.file);
}
