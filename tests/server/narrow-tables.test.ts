// Tables that a telephone shows row by row, on HTML as the templates write it.

import { expect, test } from 'vitest';
import { withNamedCells } from '../../server/narrow-tables.ts';

const table = (head: string, body: string) =>
  `<p>Before</p><table class="ledger"><caption>C</caption><thead><tr>${head}</tr></thead>${body}</table><p>After</p>`;

test('Each cell of a table of words says the name of its column; the head of a row and what stands around the table stay as they are', () => {
  const html = withNamedCells(
    table(
      '<th scope="col">Name</th><th class="figure" scope="col">Value</th><th scope="col">Do <b>it</b></th>',
      '<tbody><tr><th scope="row">Air</th><td class="figure">24 °C</td><td class="presses"><a href="/x">Change</a></td></tr></tbody>',
    ),
  );
  expect(html).toContain('<table class="ledger rows">');
  expect(html).toContain('<th scope="row">Air</th><td data-column="Value" class="figure">24 °C</td>');
  expect(html).toContain('<td data-column="Do it" class="presses"><a href="/x">Change</a></td>');
  expect(html.startsWith('<p>Before</p>') && html.endsWith('<p>After</p>')).toBe(true);
});

test('A cell that holds a dash is marked, so that a line which says nothing can be left out', () => {
  const html = withNamedCells(
    table('<th>A</th><th>B</th><th>C</th>', '<tbody><tr><th>1</th><td>–</td><td>– 3 °C</td></tr></tbody>'),
  );
  expect(html).toContain('<td data-column="B" data-none>–</td><td data-column="C">– 3 °C</td>');
});

test('A cell after one that spans columns has the name of its own column, also in the foot', () => {
  const html = withNamedCells(
    table(
      '<th>What</th><th>Month</th><th class="figure">Sum</th>',
      '<tbody><tr><th>Vet</th><td>May</td><td class="figure">45</td></tr></tbody><tfoot><tr><th colspan="2">In hand</th><td class="figure">115</td></tr></tfoot>',
    ),
  );
  expect(html).toContain('<th colspan="2">In hand</th><td data-column="Sum" class="figure">115</td>');
});

test.each([
  ['two columns', table('<th>A</th><th>B</th>', '<tbody><tr><th>1</th><td>word</td></tr></tbody>')],
  [
    'two columns of figures',
    table(
      '<th>A</th><th>B</th><th>C</th>',
      '<tbody><tr><th>1</th><td class="figure">2</td><td class="figure">3</td></tr></tbody>',
    ),
  ],
  [
    'a head of several parts',
    table('<th colspan="2">A</th><th>B</th><th>C</th>', '<tbody><tr><td>1</td></tr></tbody>'),
  ],
])('A table of %s is written as it was', (_, html) => {
  expect(withNamedCells(html)).toBe(html);
});

test('Figures in more columns than a telephone shows are read row by row too', () => {
  const figure = '<td class="figure">1</td>';
  const html = withNamedCells(
    table(
      '<th>Month</th><th>In</th><th>Out</th><th>Left</th>',
      `<tbody><tr><th>May</th>${figure.repeat(3)}</tr></tbody>`,
    ),
  );
  expect(html).toContain('<td data-column="Left" class="figure">1</td></tr>');
});

test('A quote in the name of a column ends no attribute', () => {
  const html = withNamedCells(
    table('<th>A</th><th>12" of it</th><th>C</th>', '<tbody><tr><th>1</th><td>x</td><td>y</td></tr></tbody>'),
  );
  expect(html).toContain('data-column="12&quot; of it"');
});
