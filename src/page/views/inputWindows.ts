import { createContext, useContext } from "react";
import type { InputWindow } from "../../studies/inputWindow.ts";
import type { InputWindows } from "../worker/requests.ts";

/** Windows of the inputs of the step, as far as they are computed. */
export const Windows = createContext<InputWindows>({});

export const useInputWindow = (key: string): InputWindow | undefined => useContext(Windows)[key];
