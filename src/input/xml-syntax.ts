/** What the XML parser objects to, in the words of someone who has a file from a receiver or a map. */

export interface XmlFault {
  readonly code: string;
  readonly message: string;
  readonly help: string;
}

interface PlacedFault extends XmlFault {
  readonly start: number; // offsets in the text
  readonly end: number;
}

const AGAIN = 'export the file again, or copy it again from where it came from';

/**
 * @param said the parser's own words
 * @param at offset of the character it stopped at
 * @param open names of the elements that are open there
 */
export function xmlFault(said: string, text: string, at: number, open: readonly string[]): PlacedFault {
  const fault = (message: string, help: string, start = at, end = at + 1): PlacedFault => ({
    code: 'xml/syntax',
    message,
    help,
    start,
    end,
  });
  const ampersand = (start: number, end: number) =>
    fault(
      'this stands for nothing in XML',
      'write `&amp;` where & itself is meant; only &amp; &lt; &gt; &quot; &apos; and numbers such as &#233; are read',
      start,
      end,
    );
  const tag = text.lastIndexOf('<', at);
  if (/^(unclosed tag|unexpected end)/.test(said)) {
    const amp = text.lastIndexOf('&');
    if (amp !== -1 && !/^&#?\w+;/.test(text.slice(amp, amp + 40))) return ampersand(amp, amp + 1);
    const last = text.trimEnd().length;
    const inside = open.length === 0 ? 'before it is complete' : `inside <${open.at(-1)}>`;
    return fault(
      `the file ends ${inside}`,
      'it was cut off: copy it again from where it came from',
      last - 1,
      last,
    );
  }
  if (/^unexpected close tag/.test(said)) {
    return fault(
      `<${open.at(-1)}> is not closed before this`,
      `write </${open.at(-1)}> before it`,
      tag,
      at + 1,
    );
  }
  if (/^unmatched closing tag/.test(said))
    return fault('this closes an element that was never opened', AGAIN, tag, at + 1);
  if (/^(undefined entity|disallowed character in entity name|empty entity name)/.test(said)) {
    return ampersand(Math.max(0, text.lastIndexOf('&', at)), at + 1);
  }
  if (/^malformed character entity/.test(said)) {
    const start = Math.max(0, text.lastIndexOf('&', at));
    return fault('this is the number of no character that XML allows', 'leave it out', start, at + 1);
  }
  if (/^duplicate attribute/.test(said)) {
    const name = /^duplicate attribute: (.*)\.$/.exec(said)?.[1] ?? '';
    return fault(`the attribute ${name.slice(0, 40)} is written twice`, 'keep one of the two', tag, at + 1);
  }
  if (/^text data outside of root node/.test(said)) {
    const after = text.lastIndexOf('>', at - 1) + 1;
    const start = after + text.slice(after, at + 1).search(/\S|$/);
    return fault('there is text outside the outermost element', 'leave it out', start, at + 1);
  }
  if (/^documents may contain only one root/.test(said))
    return fault('a second outermost element begins here', 'put each file into a file of its own');
  if (/^document must contain a root element/.test(said))
    return fault('the file holds no element', 'is it the right file?', text.length, text.length);
  if (/^an XML declaration must be at the start/.test(said))
    return fault('`<?xml` stands here, not at the very start', 'leave out what stands before it');
  if (/^(unquoted attribute value|attribute without value)/.test(said))
    return fault('a value in quotes is missing here', 'write name="value"');
  if (/^disallowed character/.test(said) && text[at] === '<')
    return fault(
      '`<` may not stand here',
      'close the quote or tag before it; write &lt; where < itself is meant',
    );
  return fault(`this is no XML: ${said.replace(/\.$/, '').slice(0, 120)}`, AGAIN);
}
