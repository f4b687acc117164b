// The style sheet, the script and the icon: read once at the start and served from memory under names that carry a hash of their
// content, so a browser may keep them for ever and no request can name any other file.

import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../src/errors.ts';
import { takesPacked } from './packing.ts';
import { paths } from './paths.ts';

/** A file that pages link to: its content, the same packed by gzip, its media type and the URL that carries its hash. */
export type Asset = { content: Buffer; packed: Buffer; type: string; href: string };

const mediaTypes: Readonly<Record<string, string>> = {
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml',
};

const ownAssets = fileURLToPath(new URL('../views/assets', import.meta.url));

/** Reads the assets of a folder, by file name. Throws when a file is of a kind that is not served. */
export function readAssets(folder: string = ownAssets): ReadonlyMap<string, Asset> {
  return new Map(
    readdirSync(folder).map((name) => {
      const extension = extname(name);
      const type = mediaTypes[extension];
      if (type === undefined) throw new Error(`views/assets/${name} is not a style sheet, script or SVG image`);
      const content = readFileSync(join(folder, name));
      const hash = createHash('sha256').update(content).digest('hex').slice(0, 12);
      const packed = gzipSync(content, { level: 9 });
      return [
        name,
        { content, packed, type, href: paths.asset(`${name.slice(0, -extension.length)}.${hash}${extension}`) },
      ];
    }),
  );
}

/** Serves the assets; any other name below the same URL is not found. */
export function serveAssets(app: FastifyInstance, assets: ReadonlyMap<string, Asset>): void {
  const byHref = new Map([...assets.values()].map((asset) => [asset.href, asset]));
  app.get(paths.asset(':name'), { config: { isOpen: true } }, (request, reply) => {
    const asset = byHref.get(request.url);
    if (asset === undefined) throw new AppError('not_found', 'There is no such file.');
    const isPacked = takesPacked(request);
    if (isPacked) reply.header('content-encoding', 'gzip');
    return reply
      .headers({ 'cache-control': 'public, max-age=31536000, immutable', vary: 'accept-encoding' })
      .type(asset.type)
      .send(isPacked ? asset.packed : asset.content);
  });
}
