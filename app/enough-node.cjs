// Says in words what is wrong when the Node that runs this is too old: then the one that is a dependency is missing.
var major = Number(process.versions.node.split('.')[0]);

if (major < 24) {
  console.error(
    'Rungwise runs on the Node 24 that `npm ci` installs beside it, but found Node ' +
      process.versions.node +
      '.\nRun `npm ci` again, without --ignore-scripts.',
  );
  process.exit(1);
}
