// Small things this window remembers until it is opened again; the browser's own storage, or a test's.

export type Memory = Pick<Storage, 'getItem' | 'setItem'>;
