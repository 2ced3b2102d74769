/**
 * XML as a stream of tags and texts, each with its place. Strict and closed: a document type declaration, and so every
 * entity beyond the five of XML itself, is refused before anything is expanded; nothing is ever fetched.
 */
import { SaxesParser } from 'saxes';
import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import type { Source } from './source.ts';
import { type XmlFault, xmlFault } from './xml-syntax.ts';

/** What a reader is told, in the order of the text. `at` is only to be asked while the call lasts. */
export interface XmlEvents {
  /** An element begins. */
  open(name: string, attributes: Readonly<Record<string, string>>, at: XmlPlaces): void;
  /** An element ends; `text` is what stood in it since the last tag, its own text where it holds no elements. */
  close(name: string, text: string, at: XmlPlaces): void;
}

export interface XmlPlaces {
  /** The tag that has just been read. */
  tag(): Place;
  /** The value of an attribute in it; the tag's name where there is no such attribute. */
  attribute(name: string): Place;
  /** At an element's end: its text. */
  text(): Place;
}

// Formats of roads and positions nest some ten elements deep and give an element some ten attributes. No source.
const MOST_NESTED = 100;
const MOST_ATTRIBUTES = 100;

const STOP = new Error('the XML is not read on');

/**
 * Reads a text as XML. Time and memory grow with its length alone.
 * @returns whether it is well-formed; the first fault is reported, and the events stop there
 */
export function walkXml(source: Source, events: XmlEvents, faults: Faults): boolean {
  const { text } = source;
  const declared = doctypeStart(text);
  if (declared !== -1) {
    faults.error(
      'xml/doctype',
      source.place(declared, text.length),
      'there is a document type declaration (`<!DOCTYPE`) here, expected none',
      'leave it out; entities that it declares are not read, and nothing is fetched',
    );
    return false;
  }
  const parser = new SaxesParser<{ xmlns: false; position: true }>({ xmlns: false, position: true });
  let contentStart = 0;
  let content = '';
  let attributes = 0;
  const open: string[] = [];

  const tagStart = () => text.lastIndexOf('<', parser.position - 1);
  const at: XmlPlaces = {
    tag: () => source.place(tagStart(), parser.position),
    attribute(name) {
      const start = tagStart();
      const tag = text.slice(start, parser.position);
      const found = new RegExp(`\\s${literally(name)}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`, 'd').exec(tag);
      const range = found?.indices?.[1] ?? found?.indices?.[2];
      if (range) return source.place(start + range[0], start + range[1]);
      return source.place(start + 1, start + 1 + /^[^\s/>]*/.exec(tag.slice(1))![0].length);
    },
    text() {
      const end = tagStart();
      const lead = /^\s*/.exec(text.slice(contentStart, end))![0].length;
      return source.place(contentStart + lead, contentStart + text.slice(contentStart, end).trimEnd().length);
    },
  };
  const stop = ({ code, message, help }: XmlFault, start: number, end: number): never => {
    faults.error(code, source.place(start, end), message, help);
    throw STOP;
  };

  parser.on('error', ({ message }) => {
    const from = Math.max(0, parser.position - 1);
    const fault = xmlFault(message.replace(/^\d+:\d+: /, ''), text, from, open);
    stop(fault, fault.start, fault.end);
  });
  parser.on('attribute', () => {
    if (++attributes <= MOST_ATTRIBUTES) return;
    const start = tagStart();
    stop(
      {
        code: 'xml/attributes',
        message: `this element has more than ${MOST_ATTRIBUTES} attributes`,
        help: 'is it the right file?',
      },
      start,
      parser.position,
    );
  });
  parser.on('text', (more) => {
    content += more;
  });
  parser.on('cdata', (more) => {
    content += more;
  });
  parser.on('opentag', ({ name, attributes: given }) => {
    if (open.push(name) > MOST_NESTED) {
      stop(
        {
          code: 'xml/depth',
          message: `elements lie more than ${MOST_NESTED} deep in each other here`,
          help: 'is it the right file?',
        },
        tagStart(),
        parser.position,
      );
    }
    events.open(name, given, at);
    contentStart = parser.position;
    content = '';
    attributes = 0;
  });
  parser.on('closetag', ({ name }) => {
    if (!closes(text, parser.position, name)) return; // the parser reports it next
    events.close(name, content.trim(), at);
    open.pop();
    content = '';
    contentStart = parser.position;
  });
  try {
    parser.write(text).close();
    return true;
  } catch (error) {
    if (error !== STOP) throw error;
    return false;
  }
}

/** Where a document type declaration begins, which only comments and instructions may come before; -1: there is none. */
function doctypeStart(text: string): number {
  for (let at = 0; ; ) {
    while (/\s/.test(text[at] ?? '')) at++;
    const end = text.startsWith('<?', at) ? '?>' : text.startsWith('<!--', at) ? '-->' : null;
    if (end === null) return /^<!DOCTYPE/i.test(text.slice(at, at + 9)) ? at : -1;
    const next = text.indexOf(end, at + 2);
    if (next === -1) return -1;
    at = next + end.length;
  }
}

/** Whether the tag that ends at `end` is the end of `name`, or an empty element. */
function closes(text: string, end: number, name: string): boolean {
  if (text[end - 2] === '/') return true;
  const start = text.lastIndexOf('<', end - 1);
  return text.startsWith(`</${name}`, start) && /^\s*>/.test(text.slice(start + 2 + name.length, end));
}

const literally = (name: string) => name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
