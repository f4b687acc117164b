// Loaded before the program to prove that it calls nobody: a connection to any host, or the look-up of any name, ends the process with 99.

import dns from 'node:dns';
import net from 'node:net';

const end = (what) => {
  process.stderr.write(`called out: ${what}\n`);
  process.exit(99);
};
const connect = net.Socket.prototype.connect;
net.Socket.prototype.connect = function connectOrEnd(...given) {
  const first = Array.isArray(given[0]) ? given[0][0] : given[0];
  const path = typeof first === 'object' ? first.path : typeof first === 'string' ? first : undefined;
  // A socket in a folder has a path; a request over the network says null.
  if (typeof path !== 'string') end(JSON.stringify(typeof first === 'object' ? { host: first.host, port: first.port } : first));
  return connect.apply(this, given);
};
const lookup = dns.lookup;
dns.lookup = (name, ...rest) => (net.isIP(name) === 0 && name !== 'localhost' ? end(name) : lookup(name, ...rest));
for (const which of ['resolve', 'resolve4', 'resolve6', 'resolveTxt', 'resolveAny']) dns[which] = end;
