// Which addresses are one page with another content.

/**
 * An address with its numbers as :n and the key of a proposal, of a figure or of the relative that a species is begun from as :key: pages
 * of one pattern are laid out by the same code.
 */
export function patternOf(address: string): string {
  return address
    .replace(/\d+/g, ':n')
    .replace(/proposal=[^&]*/, 'proposal=:key')
    .replace(/from=(?!nothing)[^&]*/, 'from=:key')
    .replace(/^\/species\/[^/]+\/(values|file|card)\b.*/, '/species/:key/$1')
    .replace(/^\/species\/compare\?a=[^&]*$/, '/species/compare?a=:key')
    .replace(/^\/species\/compare\?a=.*&b=.*/, '/species/compare?a=:key&b=:key');
}
