import { useEffect, useState } from "preact/hooks";
import { t } from "../i18n";
import { photoAddress } from "../store/photos";

interface PhotoThumbProps {
  sha: string;
  alt: string;
  /** The server does not have it yet. */
  onItsWay?: boolean;
  /** The whole picture, uncropped, to be looked at. */
  large?: boolean;
}

/** A photo from this phone if it is here, else from the server, else the words why not. */
export function PhotoThumb({ sha, alt, onItsWay = false, large = false }: PhotoThumbProps) {
  const [source, setSource] = useState<string | null>(null);
  const [away, setAway] = useState(false);
  useEffect(() => {
    let address: string | null = null;
    let wanted = true;
    setAway(false);
    void photoAddress(sha).then((found) => {
      if (!wanted) {
        if (found) URL.revokeObjectURL(found);
        return;
      }
      address = found;
      if (found) setSource(found);
      else if (onItsWay) setAway(true);
      else setSource(`/api/v1/photos/${sha}?size=${large ? "full" : "small"}`);
    });
    return () => {
      wanted = false;
      if (address) URL.revokeObjectURL(address);
    };
  }, [sha, onItsWay, large]);
  if (away) {
    return (
      <span class="thumb thumb--away">
        {onItsWay ? t("app.photo.on_its_way") : t("app.photo.away")}
      </span>
    );
  }
  const looks = large ? "thumb thumb--whole" : "thumb";
  return source ? (
    <img
      class={looks}
      src={source}
      alt={alt}
      loading={large ? "eager" : "lazy"}
      onError={() => setAway(true)}
    />
  ) : (
    <span class={looks} />
  );
}
