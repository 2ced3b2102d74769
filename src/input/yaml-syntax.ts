/** What the YAML parser objects to, in the words of someone who writes car files and not parsers. */
import type { ErrorCode } from 'yaml';

interface SyntaxFault {
  readonly code: string;
  readonly message: string;
  readonly help: string;
}

const INDENT = 'keys of one section start in the same column; use spaces';

export function syntaxFault(code: ErrorCode, message: string): SyntaxFault {
  const say = (text: string, help: string): SyntaxFault => ({ code: 'yaml/syntax', message: text, help });
  switch (code) {
    case 'TAB_AS_INDENT':
      return say('the line begins with a tab', 'indent with spaces; YAML takes no tabs there');
    case 'BAD_INDENT': {
      const closing = /end with a (.)/.exec(message)?.[1];
      if (closing === undefined) return say('the indentation here does not fit the lines above', INDENT);
      const opening = closing === ']' ? '[' : '{';
      return say(
        `the \`${opening}\` opened above is not closed before this line`,
        `close it with ${closing}`,
      );
    }
    case 'BLOCK_AS_IMPLICIT_KEY':
    case 'BLOCK_IN_FLOW':
      return say('the indentation here does not fit the lines above', INDENT);
    case 'MULTILINE_IMPLICIT_KEY':
      return say('this line has no `:` after its key', 'write `key: value`, with a space after the colon');
    case 'BAD_SCALAR_START':
      return say('a value cannot begin with this character', "put the value in quotes, 'like this'");
    case 'MISSING_CHAR':
      if (/quote/.test(message))
        return say('the quote opened here is not closed', 'close it at the end of the value');
      return say(
        `something is missing here: ${plain(message)}`,
        'close every bracket, brace and quote that was opened',
      );
    case 'MULTIPLE_DOCS':
      return say('a second document begins here (`---`)', 'put each car or stage into its own file');
    case 'BAD_ALIAS':
      return say('this alias (`*name`) stands for nothing', 'put text that begins with * in quotes');
    case 'UNEXPECTED_TOKEN':
      return say(
        `this does not belong here: ${plain(message)}`,
        'check brackets, commas and quotes before it',
      );
    case 'TAG_RESOLVE_FAILED':
      return say('a value cannot begin with `!`', "put the value in quotes, '!like this'");
    default:
      return say(`this is no YAML: ${plain(message)}`, 'docs/files.md shows whole files to start from');
  }
}

const plain = (message: string) => message.replace(/\s+/g, ' ').slice(0, 120);
