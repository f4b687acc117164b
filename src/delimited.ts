// How a table comes as plain text: which character separates its cells, how cells are quoted, where lines end, and where such a text is
// broken, by line; and how one is written so that a spreadsheet opens it without running anything. Strict: nothing is mended in silence.
// Knows nothing of what the cells mean.

/** A table: its headings, and its rows with the line of the text on which each begins. Cells are trimmed; blank lines are no rows. */
export type DelimitedTable = {
  separator: ',' | ';' | '\t';
  headings: string[];
  rows: { line: number; cells: string[] }[];
};

/** What is wrong with such a text. Lines count from 1. */
export type TableFault =
  | { fault: 'empty' }
  | { fault: 'too-many-rows'; most: number }
  | { fault: 'too-many-columns'; line: number; most: number }
  | { fault: 'cell-too-long'; line: number; most: number }
  | { fault: 'open-quote'; line: number }
  | { fault: 'stray-quote'; line: number }
  | { fault: 'ragged'; line: number; have: number; want: number }
  | { fault: 'heading-twice'; heading: string };

/** How much is taken; more is a fault, never cut off. */
export type TableLimits = { rows: number; columns: number; cell: number };

/**
 * Reads text separated by comma, semicolon or tab (RFC 4180 with those separators; `""` is a quote within quotes). The separator is the one
 * that stands most often in the line of headings, or the one that a spreadsheet's own first line 'sep=;' names. A mark of the byte order and
 * any of the three line ends are taken. `headingLine` is the line on which the headings stand; what is above it is passed over.
 */
export function readDelimited(
  text: string,
  limits: TableLimits,
  headingLine = 1,
): { status: 'ok'; table: DelimitedTable } | { status: 'bad'; faults: TableFault[] } {
  const unmarked = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
  const named = /^sep=([,;\t])\n/i.exec(unmarked);
  const skipped = named === null ? headingLine - 1 : Math.max(1, headingLine - 1);
  const from = startOfLine(unmarked, skipped);
  const body = from === null ? '' : unmarked.slice(from);
  const separator = (named?.[1] as DelimitedTable['separator'] | undefined) ?? separatorOf(body);
  const read = readRecords(body, separator, skipped + 1, limits);
  if (read.status === 'bad') return { status: 'bad', faults: [read.fault] };
  const [head, ...rows] = read.records;
  if (head === undefined) return { status: 'bad', faults: [{ fault: 'empty' }] };
  const headings = withoutEmptyEnd(head.cells, 0);
  const faults: TableFault[] = [];
  const seen = new Set<string>();
  for (const heading of headings) {
    const key = heading.toLowerCase();
    if (key !== '' && seen.has(key)) faults.push({ fault: 'heading-twice', heading });
    seen.add(key);
  }
  const even = rows.map(({ line, cells }) => ({ line, cells: withoutEmptyEnd(cells, headings.length) }));
  for (const { line, cells } of even) {
    if (cells.length !== headings.length)
      faults.push({ fault: 'ragged', line, have: cells.length, want: headings.length });
  }
  return faults.length > 0 ? { status: 'bad', faults } : { status: 'ok', table: { separator, headings, rows: even } };
}

/** A cell as it is written: a number stays a number, null is an empty cell. */
export type WrittenCell = string | number | null;

/**
 * Writes a table as comma-separated values (RFC 4180: lines end in CR LF, cells with a comma, quote or line end are quoted). Texts that a
 * spreadsheet would run as a formula are defused, headings too; numbers are not, since a number runs nothing. Throws on a number that is
 * none, and on a row with another count of cells than there are headings.
 */
export function writeDelimited(headings: readonly string[], rows: readonly (readonly WrittenCell[])[]): string {
  return [headings, ...rows]
    .map((cells) => {
      if (cells.length !== headings.length)
        throw new RangeError(`a row holds ${cells.length} cells under ${headings.length} headings`);
      return `${cells.map(writtenCell).join(',')}\r\n`;
    })
    .join('');
}

function writtenCell(cell: WrittenCell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') {
    if (!Number.isFinite(cell)) throw new RangeError(`a cell cannot hold the number ${cell}`);
    return String(cell);
  }
  const text = defused(cell);
  return /[",\r\n\t]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

// OWASP, CSV Injection: a cell that begins with one of these may be run as a formula. Spreadsheets pass over blanks before them, and some
// take the full-width forms too.
const RUNS_AS_FORMULA = /^(?:[\t\r\n]|[\s\p{Cf}]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20])/u;

/** A text that no spreadsheet runs: with an apostrophe before it where it would, or where it has one of those already. */
export function defused(text: string): string {
  return RUNS_AS_FORMULA.test(text.replace(/^'+/, '')) ? `'${text}` : text;
}

/** The text that was defused; every other text as it is. */
export function undefused(text: string): string {
  return text.startsWith("'") && RUNS_AS_FORMULA.test(text.replace(/^'+/, '')) ? text.slice(1) : text;
}

type Records = { line: number; cells: string[] }[];

function readRecords(
  text: string,
  separator: string,
  firstLine: number,
  limits: TableLimits,
): { status: 'ok'; records: Records } | { status: 'bad'; fault: TableFault } {
  const records: Records = [];
  let [line, at] = [firstLine, 0];
  while (at < text.length) {
    const start = line;
    const cells: string[] = [];
    for (let isLast = false; !isLast; ) {
      // Blanks before a quote belong to no cell; a tab is a separator where it separates.
      while (text[at] === ' ') at++;
      let cell: string;
      if (text[at] === '"') {
        const quoted = readQuoted(text, at);
        if (quoted === null) return { status: 'bad', fault: { fault: 'open-quote', line } };
        cell = quoted.cell;
        line += countLines(cell);
        at = quoted.end;
        while (text[at] === ' ') at++;
        if (at < text.length && text[at] !== separator && text[at] !== '\n')
          return { status: 'bad', fault: { fault: 'stray-quote', line } };
      } else {
        let end = at;
        while (end < text.length && text[end] !== separator && text[end] !== '\n') end++;
        cell = text.slice(at, end);
        if (cell.includes('"')) return { status: 'bad', fault: { fault: 'stray-quote', line } };
        at = end;
      }
      if (cell.length > limits.cell)
        return { status: 'bad', fault: { fault: 'cell-too-long', line: start, most: limits.cell } };
      cells.push(cell.trim());
      if (cells.length > limits.columns)
        return { status: 'bad', fault: { fault: 'too-many-columns', line: start, most: limits.columns } };
      isLast = text[at] !== separator;
      at++;
    }
    line++;
    if (cells.every((one) => one === '')) continue;
    // The line of headings is no row.
    if (records.length > limits.rows) return { status: 'bad', fault: { fault: 'too-many-rows', most: limits.rows } };
    records.push({ line: start, cells });
  }
  return { status: 'ok', records };
}

function readQuoted(text: string, at: number): { cell: string; end: number } | null {
  let cell = '';
  let from = at + 1;
  for (;;) {
    const quote = text.indexOf('"', from);
    if (quote === -1) return null;
    cell += text.slice(from, quote);
    if (text[quote + 1] !== '"') return { cell, end: quote + 1 };
    cell += '"';
    from = quote + 2;
  }
}

function separatorOf(text: string): DelimitedTable['separator'] {
  const head = (text.split('\n', 1)[0] ?? '').replace(/"(?:[^"]|"")*"/g, '');
  const count = (separator: string) => head.split(separator).length - 1;
  // A semicolon wins over as many commas: where the comma is the decimal mark, headings may hold one.
  return ([';', '\t', ','] as const).reduce((best, one) => (count(one) > count(best) ? one : best));
}

// Spreadsheets end lines with empty cells of columns that were used once.
function withoutEmptyEnd(cells: readonly string[], least: number): string[] {
  let end = cells.length;
  while (end > least && cells[end - 1] === '') end--;
  return cells.slice(0, end);
}

function startOfLine(text: string, skipped: number): number | null {
  let at = 0;
  for (let line = 0; line < skipped; line++) {
    const end = text.indexOf('\n', at);
    if (end === -1) return null;
    at = end + 1;
  }
  return at;
}

function countLines(text: string): number {
  return text.split('\n').length - 1;
}
