// The templates: what no .hbs file may hold, and that every page there is has a route that shows it.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const views = join(import.meta.dirname, '../views');

/** Sentences about what a template must not hold; none when it is clean. */
function faultsOf(source: string): string[] {
  const faults: string[] = [];
  if (/\{\{\{|\{\{~?&/.test(source)) faults.push('writes without escaping');
  if (/<script(?![^>]*\ssrc=")[^>]*>/i.test(source)) faults.push('holds a script');
  if (/<style\b/i.test(source)) faults.push('holds a style sheet');
  for (const tag of source.matchAll(/<[a-z][a-z0-9-]*\b((?:[^<>"{}]|"[^"]*"|\{\{[^}]*\}\})*)>/gi)) {
    // A quoted value may hold anything; an attribute that depends on {{#if}} is looked at like any other.
    const attributes = tag[1]!.replace(/"[^"]*"/g, '""');
    if (
      /=\s*(?!"")/.test(
        attributes.replace(/\{\{[^}]*\}\}/g, (mustache) =>
          mustache.startsWith('{{#') || mustache.startsWith('{{/') || mustache === '{{else}}' ? ' ' : mustache,
        ),
      )
    ) {
      faults.push(`has an attribute without quotes in ${tag[0]}`);
    }
    if (/\sstyle\s*=/i.test(attributes)) faults.push(`holds a style in ${tag[0]}`);
    if (/\son[a-z]+\s*=/i.test(attributes)) faults.push(`holds a script in ${tag[0]}`);
    if (/(?:href|src|action)="(?:javascript|data):/i.test(tag[0])) faults.push(`links to code in ${tag[0]}`);
  }
  return faults;
}

const templates = readdirSync(views, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.hbs'));

test('No template writes unescaped text, leaves an attribute unquoted or holds a style or script of its own', () => {
  expect(templates.length).toBeGreaterThan(10);
  let tags = 0;
  for (const name of templates) {
    const source = readFileSync(join(views, name), 'utf8');
    tags += source.match(/<[a-z]/gi)?.length ?? 0;
    expect(faultsOf(source), name).toEqual([]);
  }
  expect(tags).toBeGreaterThan(100);
});

test.each([
  ['{{{body}}}', 'writes without escaping'],
  ['{{&body}}', 'writes without escaping'],
  ['<p class={{name}}>', 'has an attribute without quotes'],
  ['<p class=plain>', 'has an attribute without quotes'],
  ['<input{{#if on}} value={{on}}{{/if}}>', 'has an attribute without quotes'],
  ['<p style="color: red">', 'holds a style'],
  ['<b onclick="go()">', 'holds a script'],
  ['<script>go()</script>', 'holds a script'],
  ['<style>p{}</style>', 'holds a style sheet'],
  ['<a href="javascript:go()">', 'links to code'],
])('In a template, %j is found', (source, fault) => {
  expect(faultsOf(source).join()).toContain(fault);
});

test.each([
  '<p class="{{name}}">x = y</p>',
  '<input{{#if on}} checked{{/if}} value="{{a}}">',
  '<script src="{{script}}" defer></script>',
])('In a template, %j is fine', (source) => {
  expect(faultsOf(source)).toEqual([]);
});

test('Every page template is shown by some page', () => {
  const sources = readdirSync(join(views, '../server'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => readFileSync(join(views, '../server', name), 'utf8'))
    .join('\n');
  const pages = templates
    .filter((name) => name.startsWith('pages'))
    .map((name) => name.slice('pages/'.length, -'.hbs'.length));
  expect(pages.length).toBeGreaterThan(0);
  // A page is shown by its own call, or named as the template of a form.
  const isShown = (page: string) => new RegExp(`(render\\(\\s*reply,\\s*|template: )'${page}'`).test(sources);
  expect(pages.filter((page) => !isShown(page))).toEqual([]);
});

test('Every partial is used by some template', () => {
  const all = templates.map((name) => readFileSync(join(views, name), 'utf8')).join('\n');
  const partials = templates
    .filter((name) => name.startsWith('partials'))
    .map((name) => name.slice('partials/'.length, -'.hbs'.length));
  expect(partials.length).toBeGreaterThan(0);
  expect(partials.filter((partial) => !new RegExp(`\\{\\{#?>\\s*${partial}[\\s}]`).test(all))).toEqual([]);
});

/**
 * Texts of a template that say something around a value: a run of text between two tags that holds words and a value. A label before a
 * colon, whole sentences beside whole sentences, and the act and the name of a button say the same in any language and are no such text.
 */
function textsAroundValues(source: string): string[] {
  return source
    .replace(/\{\{#>[^}]*\}\}|\{\{>[^}]*\}\}|\{\{\/[^}]*\}\}|\{\{else\}\}|\{\{#[^}]*\}\}/g, '\f')
    .replace(/<[^>]*>/g, '\f')
    .split('\f')
    .map((text) => text.trim().replace(/\s+/g, ' '))
    .filter((text) => /\{\{/.test(text) && /[a-z]{2}/i.test(text.replace(/\{\{[^}]*\}\}/g, '')))
    .filter((text) => !/^[A-Z][a-z ]+:? \{\{[\w.]+\}\}$/.test(text))
    .filter((text) => !/^\{\{[\w.]+\}\} [A-Z][^{}]*\.$/.test(text))
    .filter((text) => !/^\{\{[\w.]+\}\}\.[a-z]+(, marked)?$/.test(text));
}

test('No template makes a sentence around a value: what is made from facts is in the words files', () => {
  // The guide is a text of its own, a language a folder, with the figures of its year in it.
  const own = templates.filter((name) => !name.startsWith('guide'));
  const found = own.flatMap((name) =>
    textsAroundValues(readFileSync(join(views, name), 'utf8')).map((text) => `${name}: ${text}`),
  );
  expect(found).toEqual([]);
});

test.each([
  ['<p>You keep {{count}} animals</p>', ['You keep {{count}} animals']],
  ['<p>{{name}} was fitted</p>', ['{{name}} was fitted']],
  ['<p>{{sentence}} This is fixed.</p><p>Species: {{name}}</p><button>Close {{month}}</button>', []],
  ['{{#if a}}<p>Nothing yet.</p>{{/if}}<p>{{a}} {{b}}</p>', []],
])('In the template %j the texts around values are %j', (source, found) => {
  expect(textsAroundValues(source)).toEqual(found);
});
