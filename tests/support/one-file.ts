// The program in one JavaScript file, packages included, which starts in a third of the time that its sources take. Only this file knows
// what of the program hangs on where its sources lie.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build, type Plugin } from 'esbuild';

// These have parts that are no JavaScript, which they find from where they lie.
const LEFT_OUTSIDE = ['better-sqlite3', 'highs'];

// What came from a package that is read by require looks for these.
const HEAD =
  "import { createRequire as requireFrom } from 'node:module';" +
  'const [require, __filename, __dirname] = [requireFrom(import.meta.url), import.meta.filename, import.meta.dirname];';

/** Writes a program and all that it reads of sources and packages to a file that Node runs as it is. */
export async function writeInOneFile(program: string, file: string): Promise<void> {
  await build({
    ...{ entryPoints: [program], outfile: file, banner: { js: HEAD } },
    ...{ bundle: true, platform: 'node', format: 'esm', target: 'node20', logLevel: 'error' },
    plugins: [sourcesStay],
  });
}

// Views, seeds, migrations and threads are found from the sources, which stay where they are.
const sourcesStay: Plugin = {
  name: 'sources stay where they are',
  setup(building) {
    const { resolve } = createRequire(import.meta.url);
    building.onResolve({ filter: new RegExp(`^(${LEFT_OUTSIDE.join('|')})$`) }, ({ path }) => ({
      path: pathToFileURL(resolve(path)).href,
      external: true,
    }));
    building.onLoad({ filter: /\.ts$/ }, ({ path }) => ({
      loader: 'ts',
      contents: readFileSync(path, 'utf8')
        .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href))
        .replaceAll('import.meta.dirname', JSON.stringify(dirname(path)))
        // What is imported is not what is required, where a package has both.
        .replace(/import\.meta\.resolve\('([^']+)'\)/g, (_all, name) =>
          JSON.stringify(pathToFileURL(resolve(name).replace(/\.cjs$/, '.mjs')).href),
        ),
    }));
  },
};
