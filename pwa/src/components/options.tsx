/** People, sites or taps to choose one of. */
export function Options({ of }: { of: readonly { id: string; name: string }[] }) {
  return (
    <>
      {of.map((one) => (
        <option key={one.id} value={one.id}>
          {one.name}
        </option>
      ))}
    </>
  );
}
