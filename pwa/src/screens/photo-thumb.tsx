import { useEffect, useState } from "preact/hooks";
import { t } from "../i18n";
import { photoAddress } from "../store/photos";

interface PhotoThumbProps {
  sha: string;
  alt: string;
  /** The server does not have it yet. */
  onItsWay?: boolean;
  /** The whole picture, uncropped, to be looked at: what a phone keeps of others' is small. */
  large?: boolean;
}

type Source = "server" | "phone" | "none";

/** Where to look, in this order; a thumb saves the network, a large picture the eyes. */
function order(onItsWay: boolean, large: boolean): Source[] {
  if (onItsWay) return ["phone", "none"];
  return large ? ["server", "phone", "none"] : ["phone", "server", "none"];
}

/** A photo from this phone or from the server, else the words why not. */
export function PhotoThumb({ sha, alt, onItsWay = false, large = false }: PhotoThumbProps) {
  const [source, setSource] = useState<string | null>(null);
  const [tried, setTried] = useState(0);
  const from = order(onItsWay, large)[tried] ?? "none";
  useEffect(() => setTried(0), [sha, onItsWay, large]);
  useEffect(() => {
    if (from === "server") {
      setSource(`/api/v1/photos/${sha}?size=${large ? "full" : "small"}`);
      return;
    }
    if (from === "none") return;
    let address: string | null = null;
    let wanted = true;
    void photoAddress(sha).then((found) => {
      if (!wanted) {
        if (found) URL.revokeObjectURL(found);
        return;
      }
      address = found;
      if (found) setSource(found);
      else setTried((before) => before + 1);
    });
    return () => {
      wanted = false;
      if (address) URL.revokeObjectURL(address);
    };
  }, [sha, from, large]);
  if (from === "none") {
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
      onError={() => setTried((before) => before + 1)}
    />
  ) : (
    <span class={looks} />
  );
}
