/** A photograph's row without its picture: an imported file that named it, or a server that cannot give it now. */
export function SavedPictureMissing() {
  return (
    <p
      className="note"
      role="status"
      style={{ position: 'absolute', inset: 'auto 8px 60px 8px', background: 'var(--sheet)', padding: '8px 12px' }}
    >
      The picture itself is not here. Its handles and marks are kept and measured; take the picture in again to see it.
    </p>
  )
}
