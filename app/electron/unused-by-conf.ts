// Stands in the built program for what conf would check schemas and order migrations with: see electron.config.ts.

const unused = (): never => {
  throw new Error('conf was asked for a schema or a migration, which the built program leaves out');
};

/** `semver` or `ajv-formats`, as a whole. */
export default new Proxy({}, { get: unused });

export class Ajv2020 {
  constructor() {
    unused();
  }
}
