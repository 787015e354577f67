/** Being built. */
export function NewDialog() {
  return <p>.</p>;
}
