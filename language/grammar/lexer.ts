/** What a token is. `bad` is a character that begins nothing. */
type TokenKind = 'word' | 'number' | 'date' | 'string' | 'mark' | 'line' | 'end' | 'bad';

export interface Token {
  readonly kind: TokenKind;
  readonly text: string;
  readonly start: number;
  readonly end: number;
  /** For a number: its digits and its unit as written. */
  readonly number?: string;
  readonly unit?: string;
  /** For a number: a blank between digits and unit is missing; the digits have a comma for a point. */
  readonly tight?: boolean;
  readonly comma?: boolean;
  /** For a character that is no part of the language but has one meaning: how it is written. `text` is that already. */
  readonly instead?: string;
}

/** Words that end an expression or join two, and so are never read as a unit. */
const notUnits = new Set([
  'x',
  'and',
  'or',
  'not',
  'if',
  'then',
  'else',
  'for',
  'where',
  'is',
  'otherwise',
  'on',
  'because',
  'default',
]);
/** Characters of mathematics and of other languages whose meaning is plain. */
const lookalikes: Readonly<Record<string, string>> = {
  '≤': '<=',
  '≥': '>=',
  '≠': '!=',
  '×': 'x',
  '·': '*',
  '⋅': '*',
  '÷': '/',
  '−': '-',
  '–': '-',
  '…': '..',
  '&&': 'and',
  '||': 'or',
};
const quotes: Readonly<Record<string, string>> = { "'": "'", '“': '”', '„': '“', '‘': '’', '«': '»' };
const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const twoCharacters = new Set(['==', '!=', '<=', '>=', '..', '->']);
const oneCharacter = '{}[](),:=.*/+-^<>?';

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}
function isLetter(code: number): boolean {
  return (
    (code >= 97 && code <= 122) ||
    (code >= 65 && code <= 90) ||
    code === 95 ||
    (code > 127 && /\p{L}/u.test(String.fromCodePoint(code)))
  );
}
/** Blanks, tabs, and the unbreakable and narrow blanks that word processors put between a number and its unit. */
function isBlank(code: number): boolean {
  return code === 32 || code === 9 || code === 160 || code === 8239 || code === 8201;
}
/** Letters of units: `%`, `µ` (both code points), `Ω`, `°` besides plain letters. */
function isUnitLetter(code: number): boolean {
  return (
    (code >= 97 && code <= 122) ||
    (code >= 65 && code <= 90) ||
    code === 37 ||
    code === 176 ||
    code === 181 ||
    code === 956 ||
    code === 937 ||
    code === 8486
  );
}

function isRaised(character: string | undefined): boolean {
  return character !== undefined && (character === '⁻' || superscripts.includes(character));
}

/** A unit with raised digits written as powers: `mm²` is `mm^2`. */
function plain(unit: string): string {
  if (!/[⁰¹²³⁴-⁹⁻]/.test(unit)) return unit;
  return unit.replace(/[⁰¹²³⁴-⁹⁻]+/g, (raised) => {
    const digits = [...raised].map((c) => (c === '⁻' ? '-' : superscripts.indexOf(c)));
    return `^${digits.join('')}`;
  });
}

/** Reads tokens one by one from any offset. Strings and comments end with their line, so that lookahead is bounded. */
export class Lexer {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }

  /** The token at or after `offset`. Inside brackets (`free`) line ends are blanks. */
  read(offset: number, free: boolean): Token {
    const start = this.#skip(offset, free);
    const { text } = this;
    if (start >= text.length) return { kind: 'end', text: '', start: text.length, end: text.length };
    const code = text.charCodeAt(start);
    if (code === 10) return { kind: 'line', text: '\n', start, end: start + 1 };
    if (isDigit(code)) return this.#number(start, free);
    if (this.#isBetweenDigits(start)) return { kind: 'word', text: 'x', start, end: start + 1 };
    if (isLetter(code)) return this.#word(start);
    if (code === 34) return this.#string(start);
    const two = text.slice(start, start + 2);
    if (twoCharacters.has(two)) return { kind: 'mark', text: two, start, end: start + 2 };
    const one = text.charAt(start);
    if (oneCharacter.includes(one)) return { kind: 'mark', text: one, start, end: start + 1 };
    return this.#foreign(start, free);
  }

  /** Does an `x` stand between two digits, as in `300x200 mm`? No name and no unit begins so. */
  #isBetweenDigits(at: number): boolean {
    const { text } = this;
    return text.charCodeAt(at) === 120 && isDigit(text.charCodeAt(at - 1)) && isDigit(text.charCodeAt(at + 1));
  }

  /** A character that is no part of the language. */
  #foreign(start: number, free: boolean): Token {
    const { text } = this;
    const whole = String.fromCodePoint(text.codePointAt(start) as number);
    for (const found of [text.slice(start, start + 2), whole]) {
      const instead = Object.hasOwn(lookalikes, found) ? lookalikes[found] : undefined;
      if (!instead) continue;
      return { kind: /\w/.test(instead) ? 'word' : 'mark', text: instead, start, end: start + found.length, instead };
    }
    if (whole === ';' && !free) return { kind: 'line', text: ';', start, end: start + 1, instead: '' };
    const closing = Object.hasOwn(quotes, whole) ? quotes[whole] : undefined;
    const end = closing ? start + 1 + text.slice(start + 1).search(new RegExp(`[${closing}\n]`)) : start;
    if (closing && end > start && text[end] === closing) {
      const instead = `"${text.slice(start + 1, end).replaceAll('"', '\\"')}"`;
      return { kind: 'string', text: instead, start, end: end + 1, instead };
    }
    return { kind: 'bad', text: whole, start, end: start + whole.length };
  }

  #skip(offset: number, free: boolean): number {
    const { text } = this;
    let at = offset;
    for (;;) {
      const code = text.charCodeAt(at);
      if (isBlank(code) || code === 13 || (free && code === 10) || code === 65279) at++;
      else if (code === 47 && text.charCodeAt(at + 1) === 47) {
        const line = text.indexOf('\n', at);
        at = line < 0 ? text.length : line;
      } else return at;
    }
  }

  #word(start: number): Token {
    const { text } = this;
    let end = start + 1;
    while (end < text.length && (isLetter(text.charCodeAt(end)) || isDigit(text.charCodeAt(end)))) end++;
    return { kind: 'word', text: text.slice(start, end), start, end };
  }

  #string(start: number): Token {
    const { text } = this;
    let end = start + 1;
    for (; end < text.length; end++) {
      const code = text.charCodeAt(end);
      if (this.#endsLine(end)) break;
      if (code === 92 && !this.#endsLine(end + 1)) end++;
      else if (code === 34) {
        end++;
        break;
      }
    }
    end = Math.min(end, text.length);
    return { kind: 'string', text: text.slice(start, end), start, end };
  }

  #endsLine(at: number): boolean {
    const code = this.text.charCodeAt(at);
    return code === 10 || (code === 13 && this.text.charCodeAt(at + 1) === 10);
  }

  #digits(from: number): number {
    let end = from;
    while (isDigit(this.text.charCodeAt(end))) end++;
    return end;
  }

  #number(start: number, free: boolean): Token {
    const { text } = this;
    let end = this.#digits(start);
    if (end - start === 4 && /^\d{4}-\d{2}-\d{2}(?!\w)/.test(text.slice(start, start + 11))) {
      return { kind: 'date', text: text.slice(start, start + 10), start, end: start + 10 };
    }
    const separator = text.charCodeAt(end);
    // A comma between digits, outside brackets, is a decimal comma: nothing else is written so there.
    const comma = separator === 44 && !free && isDigit(text.charCodeAt(end + 1));
    if ((separator === 46 || comma) && isDigit(text.charCodeAt(end + 1))) end = this.#digits(end + 1);
    const exponent = /^[eE][-+]?\d+(?![\w%])/.exec(text.slice(end, end + 6));
    if (exponent) end += exponent[0].length;
    const number = text.slice(start, end).replace(',', '.');
    let unitStart = end;
    while (isBlank(text.charCodeAt(unitStart))) unitStart++;
    const unitEnd = this.#unit(unitStart);
    const spelt = text.slice(unitStart, unitEnd);
    const unit = plain(spelt);
    if (!unit || notUnits.has(unit) || this.#isBetweenDigits(unitStart))
      return { kind: 'number', text: text.slice(start, end), start, end, number, comma };
    const tight = unitStart === end && unit !== '%';
    // What is said of a comma or of a blank that is missing writes the unit as well.
    const instead = unit === spelt || comma || tight ? {} : { instead: `${number} ${unit}` };
    return {
      kind: 'number',
      text: text.slice(start, unitEnd),
      start,
      end: unitEnd,
      number,
      unit,
      comma,
      tight,
      ...instead,
    };
  }

  /** The end of a unit without blanks: `W/(m*K)`, `s^-1`; a bracket counts only where it opened in the unit. */
  #unit(start: number): number {
    const { text } = this;
    let at = start;
    let open = 0;
    if (!isUnitLetter(text.charCodeAt(at))) return start;
    for (; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (isUnitLetter(code) || (isDigit(code) && at > start) || code === 95 || isRaised(text[at])) continue;
      const next = text.charCodeAt(at + 1);
      if ((code === 42 || code === 47) && (isUnitLetter(next) || next === 40)) continue;
      if (code === 94 && (isDigit(next) || (next === 45 && isDigit(text.charCodeAt(at + 2))))) {
        if (next === 45) at++;
        continue;
      }
      const before = text.charCodeAt(at - 1);
      if (code === 40 && (before === 42 || before === 47)) open++;
      else if (code === 41 && open > 0) open--;
      else break;
    }
    return at;
  }
}
