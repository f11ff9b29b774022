(()=>{"use strict";const[PAUSE,SAVED]=[350,10];window.panelworthAddress=({form,keys,put,chosen,update})=>{let spare=SAVED;let counted=0;let waiting=null;function forget(){clearTimeout(waiting);waiting=null;}
function write(){forget();const text=chosen();const address=text?`#${text}`:location.pathname+location.search;if(text||location.hash.includes("="))history.replaceState(null,"",address);}
function remember(){if(waiting!==null)return;const now=performance.now();spare=Math.min(SAVED,spare+(now-counted)/PAUSE)-1;counted=now;if(spare>=0)write();else waiting=setTimeout(write,-spare*PAUSE);}
function read(){const state=new URLSearchParams(location.hash.slice(1));if(location.hash&&!keys.some((key)=>state.has(key)))return false;forget();put(state);update();return true;}
form.removeAttribute("autocomplete");window.addEventListener("hashchange",()=>{if(!read())remember();});window.addEventListener("pagehide",()=>{if(waiting!==null)write();});return{read,remember};};})();
