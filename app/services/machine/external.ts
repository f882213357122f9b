// Which addresses the program opens in the user's own browser: the publishers of its care texts, nothing else.

const ALLOWED_HOSTS: readonly string[] = ['www.who.int', 'www.itu.int'];

/** https only, exact hosts, no credentials and no unusual port. */
export function isAllowedExternal(address: string): boolean {
  const url = URL.parse(address);
  return (
    url !== null &&
    url.protocol === 'https:' &&
    ALLOWED_HOSTS.includes(url.hostname) &&
    url.port === '' &&
    url.username === '' &&
    url.password === ''
  );
}
