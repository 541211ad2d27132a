interface FileInputProps {
  accept: string;
  onFile: (file: File) => void;
  id?: string;
  disabled?: boolean;
  /** Opens the camera at once, where there is one. */
  camera?: boolean;
  /** What it is called where no label stands beside it. */
  name?: string;
}

/** Takes one file. It is emptied at once, or the same file again would be no change to it. */
export function FileInput({ accept, onFile, id, disabled, camera, name }: FileInputProps) {
  return (
    <input
      id={id}
      type="file"
      accept={accept}
      capture={camera ? "environment" : undefined}
      disabled={disabled}
      aria-label={name}
      onChange={(event) => {
        const input = event.currentTarget;
        const file = input.files?.[0];
        input.value = "";
        if (file) onFile(file);
      }}
    />
  );
}
