import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { boot } from "./boot.ts";
import { App } from "./views/App.tsx";
import "./style/fonts.css";
import "./style/tokens.css";
import "./style/base.css";
import "./style/frame.css";
import "./style/inputs.css";
import "./style/figures.css";
import "./style/margins.css";
import "./style/messages.css";
import "./style/dialogs.css";
import "./style/sizes.css";
import "./style/pulse.css";
import "./style/print.css";

createRoot(document.getElementById("page") as HTMLElement).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
void boot();
