/** A path whose folders stand smaller before the name: the name is what is looked for. */
export function PathName({ path }: { readonly path: string }) {
  const at = path.lastIndexOf('/') + 1;
  return (
    <>
      {at > 0 && <span class="folder">{path.slice(0, at)}</span>}
      {path.slice(at)}
    </>
  );
}
