// Asked by electron-builder before it packs: every package is bundled already, so it looks for none.

/** Tells electron-builder that no packages have to be installed. */
export default function packsModules(): boolean {
  return false;
}
