// How a table reads in a window that is too narrow for its columns: each cell says the name of its column, so that the style sheet can set
// a row as lines under one another. It works on HTML of our own templates, in which every < of a text is written as an entity.

/** The most columns that a telephone shows side by side, where some hold words and where all but the first hold figures. */
const MOST_COLUMNS = { words: 2, figures: 3 } as const;

/** The same page with every table that has more columns than a telephone shows made ready to be read row by row. */
export function withNamedCells(html: string): string {
  return html.replace(/<table class="ledger">[\s\S]*?<\/table>/g, namedTable);
}

// Figures are compared down their columns as long as these have room; a head that is more than a row of names cannot be taken apart.
function namedTable(table: string): string {
  const head = /<thead>[\s\S]*?<\/thead>/.exec(table)?.[0] ?? '';
  const names = [...head.matchAll(/<th\b[^>]*>([\s\S]*?)<\/th>/g)].map((one) => textOf(one[1]!));
  const body = table.slice(table.indexOf('</thead>'));
  const most = /<td(?![^>]*\bfigure\b)/.test(body) ? MOST_COLUMNS.words : MOST_COLUMNS.figures;
  if (names.length <= most || head.includes('colspan=')) return table;
  const rows = body.replace(/<tr\b[\s\S]*?<\/tr>/g, (row) => {
    let column = 0;
    return row.replace(/<t([dh])\b([^>]*)>(–<)?/g, (cell, kind: string, attributes: string, dash = '') => {
      const name = names[column];
      column += Number(/colspan="(\d+)"/.exec(attributes)?.[1] ?? 1);
      if (kind === 'h' || name === undefined || name === '') return cell;
      return `<td data-column="${name}"${dash === '' ? '' : ' data-none'}${attributes}>${dash}`;
    });
  });
  return table.slice(0, table.indexOf('</thead>')).replace('class="ledger"', 'class="ledger rows"') + rows;
}

function textOf(html: string): string {
  return html
    .replace(/<[^>]*>/g, '')
    .replaceAll('"', '&quot;')
    .trim();
}
