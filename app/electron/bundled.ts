// Asked by electron-builder before it packs: every package is bundled already, so it looks for none.

export default function packsModules(): boolean {
  return false;
}
