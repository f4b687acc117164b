// How the program is begun. Node reads TypeScript only through a translator, which at each start takes longer than all else together. So the
// program is written once into a few files of JavaScript, kept beside its packages under a name made from everything it was written from, and
// run from those; where they cannot be kept, from its sources. JavaScript itself, since nothing is there yet that could read anything else.

import { createHash } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, readdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';

const root = join(import.meta.dirname, '..');
const folder = join(root, 'node_modules/.cache/basking-ledger');

// The program and what it runs in threads of their own; see startThread in typescript-thread.ts.
const BEGINNINGS = ['main', 'roadmap-worker', 'asking-worker', 'backup-worker'];

const written = await writtenProgram();
// npm ci only has it written, so that a start may find the folder as one that nobody may write to.
if (!process.argv.includes('--only-write')) {
  if (written === null) {
    (await import('tsx/esm/api')).register();
    await import('./main.ts');
  } else {
    process.setSourceMapsEnabled(true);
    await import(pathToFileURL(join(written, 'main.js')).href);
  }
}

/** The folder with the program in JavaScript, written when it is not there yet; null when it cannot be. */
async function writtenProgram() {
  // Sources are found from where they lie, so that a folder that was moved or copied has its own.
  const place = digest([root]);
  const name = `${place}-${digest(sources())}`;
  const wanted = join(folder, name);
  if (existsSync(wanted)) return wanted;
  // Under another name first: a start that was cut short leaves no half of a program, and two starts do not write into one another.
  const unfinished = `${wanted}.${process.pid}`;
  try {
    mkdirSync(unfinished, { recursive: true });
    await write(unfinished);
    for (const file of readdirSync(unfinished)) settle(join(unfinished, file));
    renameSync(unfinished, wanted);
    for (const other of readdirSync(folder)) {
      if (other.startsWith(place) && other !== name) rmSync(join(folder, other), { recursive: true, force: true });
    }
  } catch {
    if (existsSync(unfinished)) rmSync(unfinished, { recursive: true });
  }
  return existsSync(wanted) ? wanted : null;
}

/** Everything that decides how the program reads in JavaScript: its sources, and its packages with their versions. */
function sources() {
  const files = ['server', 'src', 'seed'].flatMap((part) =>
    readdirSync(join(root, part), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.(ts|js)$/.test(file))
      .map((file) => join(part, file)),
  );
  return ['package-lock.json', ...files.sort()].flatMap((file) => [file, readFileSync(join(root, file))]);
}

function digest(parts) {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(`${part.length}:`).update(part);
  return hash.digest('hex').slice(0, 16);
}

async function write(outdir) {
  const { build } = await import('esbuild');
  await build({
    ...{ absWorkingDir: root, entryPoints: BEGINNINGS.map((name) => `server/${name}.ts`), outdir, entryNames: '[name]' },
    ...{ bundle: true, splitting: true, packages: 'external', platform: 'node', format: 'esm', target: 'node20' },
    // Faults tell the places in the sources, and classes their names.
    ...{ sourcemap: true, sourcesContent: false, keepNames: true, logLevel: 'silent' },
    plugins: [{ name: 'sources stay where they are', setup: sourcesStay }],
  });
}

// What a source finds beside itself (views, seeds, migrations) stays there.
function sourcesStay(building) {
  building.onLoad({ filter: /\.ts$/ }, ({ path }) => ({
    loader: 'ts',
    contents: readFileSync(path, 'utf8')
      .replace(/(new URL\('[^']+', )import\.meta\.url\)/g, (_all, before) => `${before}${JSON.stringify(pathToFileURL(path).href)})`)
      .replaceAll('import.meta.dirname', JSON.stringify(dirname(path))),
  }));
}

// A file whose name is on the disk and whose text is not would be found at every start after a power cut.
function settle(file) {
  const handle = openSync(file, 'r+');
  fsyncSync(handle);
  closeSync(handle);
}
