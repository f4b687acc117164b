// The addresses that an application answers, as Fastify itself lists them.

import type { FastifyInstance } from 'fastify';

/** Every route that takes a method, parameters as ':id' and the like: '/animals/:id/edit'. The application must be ready. */
export function routesOf(app: FastifyInstance, method: 'GET' | 'POST'): string[] {
  const above: string[] = [];
  const found: string[] = [];
  for (const line of app.printRoutes({ commonPrefix: false }).split('\n')) {
    const match = /^((?:[│ ] {3})*)[├└]── (\S*?)(?: \(([A-Z, ]+)\))?$/u.exec(line);
    if (match === null) continue;
    above.splice(match[1]!.length / 4, above.length, match[2]!);
    // A parameter that pages call by different names is one place.
    if (match[3]?.split(', ').includes(method))
      found.push(
        above
          .join('')
          .replace(/\/+/g, '/')
          .replace(/\|:\w+/g, ''),
      );
  }
  return found;
}
