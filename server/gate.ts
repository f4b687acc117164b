// Which requests are looked at all, whoever sends them: those to a name that this ledger goes by, and those that change something only
// from its own pages. Knows what browsers say of where a request comes from, and what web sites cannot forge of it.

import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';

/** The names and addresses under which the ledger may be opened, beside those by which a computer calls itself. */
export type Reach = {
  /** The address that people open, 'https://ledger.example', when one was set; a proxy may answer it. */
  origin: string | null;
  /** Further names, lower case and without a port, over plain http. */
  hosts: readonly string[];
  /** The addresses of this computer where it listens to others, as they are now: a router may give it another one any day. */
  ownAddresses: () => readonly string[];
};

/** A ledger that only this computer reaches. */
export const ownComputerOnly: Reach = { origin: null, hosts: [], ownAddresses: () => [] };

/** Why a request is refused before anything is done with it. */
export type Refusal = 'foreign-host' | 'foreign-site';

/** As much of a request as the gate looks at. */
export type KnockingRequest = Pick<IncomingMessage, 'method' | 'url' | 'headers' | 'rawHeaders'>;

const loopbackNames = ['127.0.0.1', 'localhost', '[::1]'];

/** Says why a request is refused, or null when it may be looked at. */
export function refusalOf(request: KnockingRequest, reach: Reach): Refusal | null {
  // A browser sends the name that was typed. Without this, a web site could point its own name at this computer and read the ledger
  // through the browser of whoever visits it.
  const host = hostOf(request);
  if (host === null || !isOurs(host, reach)) return 'foreign-host';
  // A request may name another host in its first line (RFC 9112 section 3.2.2); only proxies are sent such.
  if (!request.url?.startsWith('/')) return 'foreign-host';
  const site = request.headers['sec-fetch-site'];
  if (['GET', 'HEAD', 'OPTIONS'].includes(request.method ?? '')) {
    // Another site may link to a page and never draw one of our files into its own.
    const mode = request.headers['sec-fetch-mode'];
    const isDrawnIn = site === 'cross-site' && mode !== undefined && mode !== 'navigate';
    return isDrawnIn ? 'foreign-site' : null;
  }
  // Sent by every present browser over https and on this computer; over plain http on a network only the origin tells.
  if (site !== undefined) return site === 'same-origin' ? null : 'foreign-site';
  return ownOrigins(host, reach).includes(request.headers.origin ?? '') ? null : 'foreign-site';
}

/** Whether what a request is answered with is read by nobody on its way: it stays on this computer, or goes over https. */
export function isPrivateWay(request: KnockingRequest, reach: Reach): boolean {
  const host = hostOf(request);
  return host !== null && (isOverHttps(request, reach) || loopbackNames.includes(nameIn(host)));
}

/**
 * Whether a browser takes it that a request goes over https, or treats it alike: the configured origin is https, and the request is for
 * it, or comes from a proxy on this computer that names the computer itself.
 */
export function isOverHttps(request: KnockingRequest, { origin }: Reach): boolean {
  const host = hostOf(request);
  if (host === null || origin === null || !origin.startsWith('https:')) return false;
  return host === new URL(origin).host || loopbackNames.includes(nameIn(host));
}

// The one Host header in lower case, as RFC 9110 section 7.2 and RFC 3986 section 3.2 write it; null when there is none, more than one, or
// one of another form.
function hostOf({ headers, rawHeaders }: KnockingRequest): string | null {
  const sent = rawHeaders.filter((text, place) => place % 2 === 0 && text.toLowerCase() === 'host').length;
  const host = (headers.host ?? '').toLowerCase();
  return sent === 1 && /^(\[[0-9a-f:.]+\]|[a-z0-9]([a-z0-9.-]*[a-z0-9])?)(:\d{1,5})?$/.test(host) ? host : null;
}

function nameIn(host: string): string {
  return host.replace(/:\d{1,5}$/, '');
}

function isOurs(host: string, { origin, hosts, ownAddresses }: Reach): boolean {
  const name = nameIn(host);
  if (loopbackNames.includes(name) || hosts.includes(name)) return true;
  if (origin !== null && new URL(origin).host === host) return true;
  const address = name.replace(/^\[|\]$/g, '');
  // A name can be pointed at any address, an address cannot.
  return isIP(address) !== 0 && ownAddresses().includes(address);
}

function ownOrigins(host: string, { origin }: Reach): string[] {
  if (origin === null) return [`http://${host}`];
  return new URL(origin).host === host ? [origin] : [origin, `http://${host}`];
}
